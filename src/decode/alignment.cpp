#include "alignment.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "upper_median.hpp"

namespace firmus::decode {
namespace {

constexpr double interval_within_semitones = 0.7;
constexpr double rhythm_within = 0.35, nearly_within = 0.69;  // natural log of sung over written time
constexpr std::size_t pace_window = 9;                        // intervals whose median is the pace
constexpr int least_window = 8;
constexpr int least_written_notes = 4;
constexpr double least_span = 0.6;  // of the written intervals: half a melody still passes
// Of 51 annotated takes the lowest reached 0.64 with its own melody, and 0.43 was the highest of 612 with another one.
constexpr double sure_from = 0.50, listen_from = 0.38;

/// From a note to the next.
struct Interval {
  bool is_written = false;  ///< both are written notes, one written right after the other
  double log_pace = 0;      ///< natural log of seconds per quarter
  double off_pace = 0;      ///< the same, less that of the pace around it
  bool in_interval = false, in_rhythm = false;
  bool into_joined = false;  ///< into a note that sounds as one with the first: neither for nor against the melody
  bool as_written() const { return is_written && in_interval && in_rhythm; }
};

Interval interval_between(const Melody& melody, const DecodedNote& a, const DecodedNote& b) {
  Interval interval;
  if (!a.written || !b.written || *b.written != *a.written + 1 || a.coarse_hz <= 0 || b.coarse_hz <= 0) return interval;
  const auto& from = melody.notes[static_cast<std::size_t>(*a.written)];
  const auto& to = melody.notes[static_cast<std::size_t>(*b.written)];
  interval.is_written = true;
  interval.into_joined = b.joined;
  const double error = 12 * std::log2(b.coarse_hz / a.coarse_hz) - 12 * std::log2(to.target_hz / from.target_hz);
  interval.in_interval = std::abs(error) < interval_within_semitones;
  const double quarters = (to.onset_quarters - from.onset_quarters).value();
  interval.log_pace = quarters > 0 ? std::log((b.onset_s - a.onset_s) / quarters) : 0;
  interval.in_rhythm = quarters <= 0;
  return interval;
}

/// Sets `in_rhythm` by the median pace of the intervals around each.
void compare_with_pace(std::vector<Interval>& intervals) {
  for (std::size_t i = 0; i < intervals.size(); ++i) {
    if (!intervals[i].is_written) continue;
    std::vector<double> around;
    for (std::size_t k = i; k-- > 0 && around.size() < pace_window / 2;)
      if (intervals[k].is_written) around.push_back(intervals[k].log_pace);
    const std::size_t before = around.size();
    for (std::size_t k = i; k < intervals.size() && around.size() < before + pace_window / 2 + 1; ++k)
      if (intervals[k].is_written) around.push_back(intervals[k].log_pace);
    intervals[i].off_pace = intervals[i].in_rhythm ? 0 : intervals[i].log_pace - upper_median(std::move(around));
    intervals[i].in_rhythm = std::abs(intervals[i].off_pace) < rhythm_within;
  }
}

/// The most matched intervals in `window` in a row.
int best_in_window(std::span<const Interval> intervals, std::size_t window) {
  int in_window = 0, best = 0;
  for (std::size_t i = 0; i < intervals.size(); ++i) {
    in_window += intervals[i].as_written();
    if (i >= window) in_window -= intervals[i - window].as_written();
    best = std::max(best, in_window);
  }
  return best;
}

double share(int part, double of) {
  return of > 0 ? part / of : 0;
}

std::vector<Interval> intervals_of(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<Interval> intervals;
  for (std::size_t i = 1; i < notes.size(); ++i) intervals.push_back(interval_between(melody, notes[i - 1], notes[i]));
  compare_with_pace(intervals);
  return intervals;
}

struct IntervalCounts {
  int matched = 0;                  ///< sung as written
  int all = 0;                      ///< from the first written note to the last, extras and restarts included
  int best_window = 0, window = 0;  ///< matched ones in the best half of them
  int written_notes = 0;            ///< different ones
};

IntervalCounts count(const Melody& melody, const std::vector<DecodedNote>& notes, std::span<const Interval> intervals) {
  IntervalCounts counts;
  std::vector<char> is_sung(melody.notes.size());
  std::optional<std::size_t> first, last;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (!notes[i].written) continue;
    is_sung[static_cast<std::size_t>(*notes[i].written)] = 1;
    if (!first) first = i;
    last = i;
  }
  if (!first) return counts;
  std::vector<Interval> inside;
  std::ranges::copy_if(intervals.subspan(*first, *last - *first), std::back_inserter(inside),
                       [](const Interval& interval) { return !interval.into_joined; });
  counts.written_notes = static_cast<int>(std::ranges::count(is_sung, 1));
  counts.all = static_cast<int>(inside.size());
  counts.matched = static_cast<int>(std::ranges::count_if(inside, &Interval::as_written));
  counts.window = std::min(counts.all, std::max(least_window, counts.all / 2));
  counts.best_window = best_in_window(inside, static_cast<std::size_t>(counts.window));
  return counts;
}

}  // namespace

std::vector<char> matched_intervals(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<char> matched;
  for (const Interval& interval : intervals_of(melody, notes))
    matched.push_back(interval.into_joined && !matched.empty() ? matched.back() : interval.as_written());
  return matched;
}

std::vector<char> nearly_in_rhythm(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<char> fits(notes.size());
  const std::vector<Interval> intervals = intervals_of(melody, notes);
  for (std::size_t i = 0; i < intervals.size(); ++i)
    if (intervals[i].is_written && std::abs(intervals[i].off_pace) < nearly_within) fits[i] = fits[i + 1] = 1;
  return fits;
}

std::optional<double> quarters_per_minute(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<double> quarter_s;
  for (std::size_t i = 1; i < notes.size(); ++i) {
    if (!notes[i].written || !notes[i - 1].written || *notes[i].written != *notes[i - 1].written + 1) continue;
    const auto to = static_cast<std::size_t>(*notes[i].written);
    const double quarters = (melody.notes[to].onset_quarters - melody.notes[to - 1].onset_quarters).value();
    if (quarters > 0) quarter_s.push_back((notes[i].onset_s - notes[i - 1].onset_s) / quarters);
  }
  if (quarter_s.empty()) return std::nullopt;
  return 60 / upper_median(std::move(quarter_s));
}

Alignment assess_alignment(const Melody& melody, const std::vector<DecodedNote>& notes) {
  const std::vector<Interval> intervals = intervals_of(melody, notes);
  const IntervalCounts counts = count(melody, notes, intervals);
  // The shares have a least denominator, or a few notes of another melody that happen to fit would be enough. Sound
  // before the first and after the last written note does not count against a take.
  const double written_intervals = static_cast<double>(melody.notes.size()) - 1;
  const double all = share(counts.matched, std::max<double>(counts.all, least_span * written_intervals));
  const double best = share(counts.best_window, std::max<double>(counts.window, least_span / 2 * written_intervals));
  Alignment alignment;
  alignment.confidence = std::round((all + best) * 500) / 1000;
  alignment.decision = counts.written_notes < least_written_notes || alignment.confidence < listen_from
                           ? AlignmentDecision::not_this_melody
                       : alignment.confidence < sure_from ? AlignmentDecision::listen
                                                          : AlignmentDecision::sure;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double before = i > 0 && intervals[i - 1].as_written() ? 1.0 : 0.0,
                 after = i < intervals.size() && intervals[i].as_written() ? 1.0 : 0.0;
    alignment.match_confidence.push_back(notes[i].written ? 0.4 * alignment.confidence + 0.3 * before + 0.3 * after
                                                          : 0.0);
  }
  return alignment;
}

}  // namespace firmus::decode
