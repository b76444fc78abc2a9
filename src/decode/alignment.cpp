#include "alignment.hpp"

#include <algorithm>
#include <cmath>
#include <span>

namespace firmus::decode {
namespace {

constexpr double interval_within_semitones = 0.7;
constexpr double rhythm_within = 0.35;  // of the natural log of sung over written time
constexpr std::size_t pace_window = 9;  // steps whose median is the pace
constexpr int least_window = 8;
constexpr int least_matched = 4;
constexpr double least_span = 0.6;  // of the written steps: half a take still passes
// Of 51 annotated takes the lowest reached 0.64 on its own line and the highest 0.43 on another (of 612).
constexpr double sure_from = 0.50, listen_from = 0.38;

struct Step {
  bool matched = false;  ///< both ends are written notes that follow each other
  double log_pace = 0;   ///< log of seconds per quarter
  bool in_interval = false, in_rhythm = false;
  bool good() const { return matched && in_interval && in_rhythm; }
};

Step step_between(const Melody& melody, const DecodedNote& a, const DecodedNote& b) {
  Step step;
  if (!a.written || !b.written || *b.written != *a.written + 1 || a.coarse_hz <= 0 || b.coarse_hz <= 0) return step;
  const auto& from = melody.notes[static_cast<std::size_t>(*a.written)];
  const auto& to = melody.notes[static_cast<std::size_t>(*b.written)];
  step.matched = true;
  const double error = 12 * std::log2(b.coarse_hz / a.coarse_hz) - 12 * std::log2(to.target_hz / from.target_hz);
  step.in_interval = std::abs(error) < interval_within_semitones;
  const double quarters = (to.onset_quarters - from.onset_quarters).value();
  step.log_pace = quarters > 0 ? std::log((b.onset_s - a.onset_s) / quarters) : 0;
  step.in_rhythm = quarters <= 0;
  return step;
}

void judge_rhythm(std::vector<Step>& steps) {
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (!steps[i].matched) continue;
    std::vector<double> around;
    for (std::size_t k = i; k-- > 0 && around.size() < pace_window / 2;)
      if (steps[k].matched) around.push_back(steps[k].log_pace);
    const std::size_t before = around.size();
    for (std::size_t k = i; k < steps.size() && around.size() < before + pace_window / 2 + 1; ++k)
      if (steps[k].matched) around.push_back(steps[k].log_pace);
    std::ranges::nth_element(around, around.begin() + static_cast<std::ptrdiff_t>(around.size() / 2));
    steps[i].in_rhythm |= std::abs(steps[i].log_pace - around[around.size() / 2]) < rhythm_within;
  }
}

/// The most good steps in a stretch of `window`.
int best_in_window(std::span<const Step> steps, std::size_t window) {
  int in_window = 0, best = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    in_window += steps[i].good();
    if (i >= window) in_window -= steps[i - window].good();
    best = std::max(best, in_window);
  }
  return best;
}

double share(int part, double of) {
  return of > 0 ? part / of : 0;
}

std::vector<Step> steps_of(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<Step> steps;
  for (std::size_t i = 1; i < notes.size(); ++i) steps.push_back(step_between(melody, notes[i - 1], notes[i]));
  judge_rhythm(steps);
  return steps;
}

/// How the steps from event to event (matched notes, restarts and extras, by time) go.
struct StepCounts {
  int good = 0;                     ///< both notes matched, one written after the other, interval and rhythm as written
  int steps = 0;                    ///< from the first matched note to the last
  int best_window = 0, window = 0;  ///< good steps in the best stretch of half of all steps
  int matched = 0;                  ///< different written notes
};

StepCounts count(const Melody& melody, const Decoded& decoded, std::span<const Step> steps) {
  StepCounts counts;
  std::vector<char> matched(melody.notes.size());
  std::optional<std::size_t> first, last;
  for (std::size_t i = 0; i < decoded.notes.size(); ++i) {
    if (!decoded.notes[i].written) continue;
    matched[static_cast<std::size_t>(*decoded.notes[i].written)] = 1;
    if (!first) first = i;
    last = i;
  }
  if (!first) return counts;
  const std::span<const Step> inside = steps.subspan(*first, *last - *first);
  counts.matched = static_cast<int>(std::ranges::count(matched, 1));
  counts.steps = static_cast<int>(inside.size());
  counts.good = static_cast<int>(std::ranges::count_if(inside, &Step::good));
  counts.window = std::min(counts.steps, std::max(least_window, counts.steps / 2));
  counts.best_window = best_in_window(inside, static_cast<std::size_t>(counts.window));
  return counts;
}

}  // namespace

std::vector<char> matched_intervals(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<char> good;
  for (const Step& step : steps_of(melody, notes)) good.push_back(step.good());
  return good;
}

void assess_alignment(const Melody& melody, Decoded& decoded) {
  const std::vector<Step> steps = steps_of(melody, decoded.notes);
  const StepCounts counts = count(melody, decoded, steps);
  // Talk before or after does not count against a take, but a few notes that happen to fit make no melody: the shares
  // are of so much of it at least.
  const double written_steps = static_cast<double>(melody.notes.size()) - 1;
  const double all = share(counts.good, std::max<double>(counts.steps, least_span * written_steps));
  const double best = share(counts.best_window, std::max<double>(counts.window, least_span / 2 * written_steps));
  decoded.confidence = std::round((all + best) * 500) / 1000;
  decoded.decision = counts.matched < least_matched || decoded.confidence < listen_from
                         ? AlignmentDecision::not_this_melody
                     : decoded.confidence < sure_from ? AlignmentDecision::listen
                                                      : AlignmentDecision::sure;
  for (std::size_t i = 0; i < decoded.notes.size(); ++i) {
    auto& note = decoded.notes[i];
    if (!note.written) continue;
    // A note stands as firmly as the steps into and out of it, and as the whole.
    const double into = i > 0 && steps[i - 1].good() ? 1.0 : 0.0, out = i < steps.size() && steps[i].good() ? 1.0 : 0.0;
    note.match_confidence = 0.4 * decoded.confidence + 0.3 * into + 0.3 * out;
  }
}

}  // namespace firmus::decode
