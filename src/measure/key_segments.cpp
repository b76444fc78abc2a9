#include "key_segments.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"

namespace firmus::measure {
namespace {

constexpr std::size_t fewest_notes = 5;        ///< shorter excursions are wrong notes, no change of key
constexpr double least_step_cents = 60;        ///< a smaller step is intonation
constexpr std::size_t context_notes = 6;       ///< on either side of a candidate
constexpr double candidate_step_cents = 45;    ///< below the least step: medians of 6 notes err by 15
constexpr std::size_t refine_reach_notes = 4;  ///< a change point is refined within this distance
constexpr std::size_t most_candidates = 60;    ///< those with the largest steps; bounds the work on very long takes
constexpr double cost_cap = 3;                 ///< of one note: from sqrt(6) scales on it is another note
/// Singers drift by 11 cents in 50 s (median; Mauch, Frieler & Dixon 2014), by 60 in a take at the worst: a line much
/// steeper than this bridges a change of key.
constexpr double usual_drift_cents_per_minute = 80;
constexpr double change_point_penalty = 10;  ///< in units of that cost; set by simulated takes without a change
constexpr std::size_t fewest_phrases = 3, fewest_notes_of_phrase = 3;  ///< for the same step from phrase to phrase
constexpr double phrase_step_spread_cents = 30;  ///< of such steps: medians of four notes err by 17, singers by as much
constexpr double least_scale_cents = 10, most_scale_cents = 40;

double square_of(double x) {
  return x * x;
}

double median_of(std::span<const double> values) {
  return median({values.begin(), values.end()});
}

/// Scale of the errors about any line, from differences of neighbours: a change of key enters one of them only.
double scale_of(std::span<const double> errors) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < errors.size(); ++i) steps.push_back(errors[i] - errors[i - 1]);
  return std::clamp(mad_sigma(steps, 0) / std::sqrt(2.0), least_scale_cents, most_scale_cents);
}

/// Tukey's resistant line: through the medians of the outer thirds, moved to the median residual. Fast and robust
/// enough to compare segmentations; the reported line is fitted by Theil-Sen (tuning_curve.cpp).
TrendLine resistant_line(std::span<const double> time, std::span<const double> errors) {
  const std::size_t count = time.size(), third = count / 3;
  TrendLine line{(time.front() + time.back()) / 2, 0, 0};
  if (count >= static_cast<std::size_t>(fewest_notes_for_slope) &&
      time.back() - time.front() >= least_seconds_for_slope) {
    const double run = median_of(time.last(third)) - median_of(time.first(third));
    if (run > 0) line.cents_per_s = (median_of(errors.last(third)) - median_of(errors.first(third))) / run;
  }
  std::vector<double> left;
  for (std::size_t i = 0; i < count; ++i) left.push_back(errors[i] - line.at(time[i]));
  line.at_middle_cents = median(std::move(left));
  return line;
}

/// Half the squared residuals in scales, each capped, and a quadratic penalty on the slope.
double cost_of(std::span<const double> time, std::span<const double> errors, const TrendLine& line, double scale) {
  double cost = square_of(60 * line.cents_per_s / usual_drift_cents_per_minute) / 2;
  for (std::size_t i = 0; i < time.size(); ++i)
    cost += std::min(square_of((errors[i] - line.at(time[i])) / scale) / 2, cost_cap);
  return cost;
}

double step_at(std::span<const double> errors, std::size_t place) {
  const std::size_t before = std::min(place, context_notes), after = std::min(errors.size() - place, context_notes);
  return std::abs(median_of(errors.subspan(place, after)) - median_of(errors.subspan(place - before, before)));
}

/// Places where the medians of the notes before and after differ, each the local maximum.
std::vector<std::size_t> candidate_change_points(std::span<const double> errors) {
  std::vector<double> step(errors.size(), 0.0);
  for (std::size_t i = fewest_notes; i + fewest_notes <= errors.size(); ++i) step[i] = step_at(errors, i);
  std::vector<std::size_t> candidates;
  for (std::size_t i = fewest_notes; i + fewest_notes <= errors.size(); ++i) {
    const double nearby = *std::max_element(step.begin() + static_cast<std::ptrdiff_t>(i - 2),
                                            step.begin() + static_cast<std::ptrdiff_t>(std::min(i + 3, step.size())));
    if (step[i] >= candidate_step_cents && step[i] >= nearby) candidates.push_back(i);
  }
  if (candidates.size() > most_candidates) {
    std::stable_sort(candidates.begin(), candidates.end(),
                     [&](std::size_t a, std::size_t b) { return step[a] > step[b]; });
    candidates.resize(most_candidates);
    std::sort(candidates.begin(), candidates.end());
  }
  return candidates;
}

struct Segmentation {
  std::vector<std::size_t> starts;
  double cost = 1e300;
};

/// The same step from each phrase to the next, each phrase at its own level: one hypothesis, so that one penalty is due
/// for all of its steps, and phrases may be shorter than a segment that is searched for. Without cost where it does not
/// apply: too few phrases or notes, a step too small, or steps that differ.
Segmentation phrase_steps(std::span<const double> time, std::span<const double> errors,
                          std::span<const std::size_t> phrase_starts) {
  Segmentation segmentation;
  if (phrase_starts.size() < fewest_phrases) return segmentation;
  std::vector<double> steps, levels;
  double cost = change_point_penalty;
  const double scale = scale_of(errors);
  for (std::size_t p = 0; p < phrase_starts.size(); ++p) {
    const std::size_t begin = phrase_starts[p];
    const std::size_t end = p + 1 < phrase_starts.size() ? phrase_starts[p + 1] : errors.size();
    if (end - begin < fewest_notes_of_phrase) return segmentation;
    levels.push_back(median_of(errors.subspan(begin, end - begin)));
    if (p > 0) steps.push_back(levels[p] - levels[p - 1]);
    cost += cost_of(time.subspan(begin, end - begin), errors.subspan(begin, end - begin), {0, levels[p], 0}, scale);
  }
  const double step = median_of(steps);
  if (std::abs(step) < least_step_cents) return segmentation;
  for (const double one : steps) cost += std::min(square_of((one - step) / phrase_step_spread_cents) / 2, cost_cap);
  return {{phrase_starts.begin(), phrase_starts.end()}, cost};
}

/// Dynamic programming: the cheapest segmentation up to each candidate, from those up to earlier ones.
class ChangePointSearch {
 public:
  ChangePointSearch(std::span<const double> time, std::span<const double> errors)
      : time_(time), errors_(errors), scale_(scale_of(errors)) {
    for (const std::size_t place : candidate_change_points(errors_)) edges_.push_back(place);
    edges_.push_back(errors_.size());
  }

  Segmentation best() const {
    std::vector<double> best(edges_.size(), 0.0);
    std::vector<std::size_t> from(edges_.size(), 0);
    for (std::size_t to = 1; to < edges_.size(); ++to) {
      best[to] = 1e300;
      for (std::size_t begin = 0; begin < to; ++begin) {
        const double cost = best[begin] + segment_cost(begin, to) + (begin > 0 ? change_point_penalty : 0);
        if (cost < best[to]) best[to] = cost, from[to] = begin;
      }
    }
    return {trace(from), best.back()};
  }

  /// Medians of six notes locate a change to two notes only: each start moves to where its two segments cost least.
  void refine(std::vector<std::size_t>& starts) const {
    for (std::size_t s = 1; s < starts.size(); ++s) {
      const std::size_t begin = starts[s - 1], end = s + 1 < starts.size() ? starts[s + 1] : errors_.size();
      std::size_t best = starts[s];
      double least = 1e300;
      for (std::size_t at = std::max(begin + fewest_notes, starts[s] - std::min(starts[s], refine_reach_notes));
           at <= starts[s] + refine_reach_notes && at + fewest_notes <= end; ++at) {
        const double cost = notes_cost(begin, at) + notes_cost(at, end);
        if (cost < least) least = cost, best = at;
      }
      starts[s] = best;
    }
  }

 private:
  double segment_cost(std::size_t begin, std::size_t end) const {
    if (edges_[end] - edges_[begin] < fewest_notes && edges_.size() > 2) return 1e300;
    return notes_cost(edges_[begin], edges_[end]);
  }

  double notes_cost(std::size_t first, std::size_t end) const {
    const auto time = time_.subspan(first, end - first), errors = errors_.subspan(first, end - first);
    const TrendLine level{0, median_of(errors), 0};
    return std::min(cost_of(time, errors, resistant_line(time, errors), scale_), cost_of(time, errors, level, scale_));
  }

  std::vector<std::size_t> trace(const std::vector<std::size_t>& from) const {
    std::vector<std::size_t> starts;
    for (std::size_t at = edges_.size() - 1; at > 0; at = from[at]) starts.push_back(edges_[from[at]]);
    std::reverse(starts.begin(), starts.end());
    return starts;
  }

  std::span<const double> time_, errors_;
  double scale_;
  std::vector<std::size_t> edges_{0};
};

TrendLine line_from(std::span<const double> time, std::span<const double> errors, std::size_t begin, std::size_t end) {
  return resistant_line(time.subspan(begin, end - begin), errors.subspan(begin, end - begin));
}

/// Removes the smallest step between neighbouring segments until all are large enough.
void merge_small_steps(std::span<const double> time, std::span<const double> errors, std::vector<std::size_t>& starts) {
  while (starts.size() > 1) {
    std::size_t smallest = 0;
    double least = least_step_cents;
    for (std::size_t s = 1; s < starts.size(); ++s) {
      const std::size_t end = s + 1 < starts.size() ? starts[s + 1] : errors.size();
      const double boundary_s = (time[starts[s] - 1] + time[starts[s]]) / 2;
      const double step = std::abs(line_from(time, errors, starts[s], end).at(boundary_s) -
                                   line_from(time, errors, starts[s - 1], starts[s]).at(boundary_s));
      if (step < least) least = step, smallest = s;
    }
    if (smallest == 0) return;
    starts.erase(starts.begin() + static_cast<std::ptrdiff_t>(smallest));
  }
}

}  // namespace

std::vector<std::size_t> key_segment_starts(std::span<const double> time_s, std::span<const double> errors_cents,
                                            std::span<const std::size_t> phrase_starts) {
  const Segmentation by_phrase = phrase_steps(time_s, errors_cents, phrase_starts);
  if (errors_cents.size() < 2 * fewest_notes) return {0};
  const ChangePointSearch search(time_s, errors_cents);
  Segmentation found = search.best();
  if (by_phrase.cost < found.cost) return by_phrase.starts;
  search.refine(found.starts);
  merge_small_steps(time_s, errors_cents, found.starts);
  return found.starts;
}

}  // namespace firmus::measure
