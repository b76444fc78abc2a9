#include "good_steps.hpp"

#include <algorithm>
#include <cmath>

namespace firmus {
namespace {

constexpr double interval_within_semitones = 0.7;
constexpr double rhythm_within = 0.35;  // of the natural log of sung over written time
constexpr std::size_t pace_window = 9;  // steps whose median is the pace
constexpr std::size_t least_window = 8;
constexpr int least_matched = 4;
// Own takes and others part at about 0.45 of good steps; between the two limits the teacher should listen.
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

/// Share of good steps overall, and in the best window of half the steps.
std::pair<double, double> good_shares(const std::vector<Step>& steps) {
  if (steps.empty()) return {0, 0};
  const std::size_t window = std::min(steps.size(), std::max(least_window, steps.size() / 2));
  int all = 0, in_window = 0, best = 0;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    all += steps[i].good();
    in_window += steps[i].good();
    if (i >= window) in_window -= steps[i - window].good();
    best = std::max(best, in_window);
  }
  return {all / static_cast<double>(steps.size()), best / static_cast<double>(window)};
}

}  // namespace

void judge_alignment(const Melody& melody, Decoded& decoded) {
  std::vector<Step> steps;
  int matched = 0;
  for (std::size_t i = 0; i < decoded.notes.size(); ++i) {
    matched += decoded.notes[i].written.has_value();
    if (i > 0) steps.push_back(step_between(melody, decoded.notes[i - 1], decoded.notes[i]));
  }
  judge_rhythm(steps);
  const auto [all, best] = good_shares(steps);
  decoded.confidence = std::round((all + best) * 500) / 1000;
  decoded.decision = matched < least_matched || decoded.confidence < listen_from ? AlignmentDecision::not_this_melody
                     : decoded.confidence < sure_from                            ? AlignmentDecision::listen
                                                                                 : AlignmentDecision::sure;
  for (std::size_t i = 0; i < decoded.notes.size(); ++i) {
    auto& note = decoded.notes[i];
    if (!note.written) continue;
    // A note stands as firmly as the steps into and out of it, and as the whole.
    const double into = i > 0 && steps[i - 1].good() ? 1.0 : 0.0, out = i < steps.size() && steps[i].good() ? 1.0 : 0.0;
    note.match_confidence = 0.4 * decoded.confidence + 0.3 * into + 0.3 * out;
  }
}

}  // namespace firmus
