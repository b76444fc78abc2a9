#include "points.hpp"

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>

#include "base/statistics.hpp"

namespace firmus::trend {
namespace {

std::optional<int> number_at(const std::string& text, std::size_t from, std::size_t length) {
  int value = 0;
  const char* begin = text.data() + from;
  const auto [end, error] = std::from_chars(begin, begin + length, value);
  return error == std::errc() && end == begin + length ? std::optional(value) : std::nullopt;
}

std::optional<std::chrono::sys_days> day_of(const std::string& date) {
  if (date.size() != 10 || date[4] != '-' || date[7] != '-') return std::nullopt;
  const auto year = number_at(date, 0, 4), month = number_at(date, 5, 2), day = number_at(date, 8, 2);
  if (!year || !month || !day || *year < 0 || *month < 0 || *day < 0) return std::nullopt;
  const std::chrono::year_month_day found{std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                                          std::chrono::day(static_cast<unsigned>(*day))};
  return found.ok() ? std::optional(std::chrono::sys_days(found)) : std::nullopt;
}

bool is_dated(const TrendTake* take) {
  const auto& date = take->result.context.date;
  return date && day_of(*date);
}

/// Variance of the sum of a series whose neighbours may resemble each other (Newey and West 1987, with one lag; a
/// negative autocovariance is not trusted).
double variance_of_sum(const std::vector<double>& series) {
  if (series.size() < 2) return 0;
  const MeanAndSd found = mean_and_sd(series);
  double products = 0;
  for (std::size_t k = 0; k + 1 < series.size(); ++k)
    products += (series[k] - found.mean) * (series[k + 1] - found.mean);
  return static_cast<double>(series.size()) * found.sd * found.sd + std::max(0.0, products);
}

/// Sums over the takes of a point, and the means computed from them.
class PointTotals {
 public:
  void add(const Result& result) {
    judged_ += result.summary.judged;
    in_tune_ += result.summary.in_tune;
    std::vector<double> sizes;
    for (const NoteResult& note : result.notes)
      if (const auto error = scored_error(result, note)) {
        errors_.push_back(*error);
        sizes.push_back(std::fabs(*error));
      }
    size_variance_ += variance_of_sum(sizes);
    if (result.centre_cents) centres_.push_back(*result.centre_cents);
    if (const auto drift = drift_of(result)) drifts_.push_back(*drift);
  }

  void fill(TrendPoint& point) const {
    point.judged = judged_;
    point.in_tune = in_tune_;
    if (judged_ > 0) point.in_tune_share = in_tune_ / static_cast<double>(judged_);
    point.centre_cents = mean(centres_);
    point.drift_cents_per_minute = mean(drifts_);
    if (errors_.empty()) return;
    const MeanAndSd found = mean_and_sd(errors_);
    double absolute = 0;
    for (const double error : errors_) absolute += std::fabs(error);
    point.accuracy_cents = found.mean;
    point.mean_abs_cents = absolute / static_cast<double>(errors_.size());
    if (errors_.size() < 2) return;
    point.precision_cents = found.sd;
    point.mean_abs_se_cents = std::sqrt(size_variance_) / static_cast<double>(errors_.size());
  }

 private:
  static std::optional<double> mean(const std::vector<double>& values) {
    return values.empty() ? std::nullopt : std::optional(mean_and_sd(values).mean);
  }
  /// Drift of the key segment with the most notes.
  static std::optional<double> drift_of(const Result& result) {
    const auto longest = std::max_element(
        result.key_segments.begin(), result.key_segments.end(),
        [](const KeySegment& a, const KeySegment& b) { return a.to_index - a.from_index < b.to_index - b.from_index; });
    return longest == result.key_segments.end() ? std::nullopt : longest->drift_cents_per_minute;
  }

  int judged_ = 0, in_tune_ = 0;
  double size_variance_ = 0;  ///< of the sum of the sizes of all errors
  std::vector<double> errors_, centres_, drifts_;
};

bool same_point(const OrderedTakes& ordered, const TrendTake* take) {
  return ordered.by_date && !ordered.points.empty() && ordered.points.back().date == take->result.context.date;
}

double weeks_of(const OrderedTakes& ordered, const TrendTake* take) {
  if (!ordered.by_date) return static_cast<double>(ordered.points.size());
  const std::string& date = *take->result.context.date;
  return ordered.points.empty() ? 0 : weeks_between(*ordered.points.front().date, date).value_or(0);
}

}  // namespace

std::optional<double> weeks_between(const std::string& from, const std::string& to) {
  const auto first = day_of(from), last = day_of(to);
  if (!first || !last) return std::nullopt;
  return static_cast<double>((*last - *first).count()) / 7;
}

std::optional<double> scored_error(const Result& result, const NoteResult& note) {
  if (!note.verdict || *note.verdict == Verdict::unclear || *note.verdict == Verdict::other_note) return std::nullopt;
  return error_against(note.errors, result.settings.reference);
}

OrderedTakes order_takes(std::vector<const TrendTake*> takes) {
  OrderedTakes ordered;
  ordered.by_date = std::all_of(takes.begin(), takes.end(), is_dated);
  if (ordered.by_date)
    std::stable_sort(takes.begin(), takes.end(), [](const TrendTake* a, const TrendTake* b) {
      return *a->result.context.date < *b->result.context.date;
    });
  std::vector<PointTotals> sums;
  for (const TrendTake* take : takes) {
    if (!same_point(ordered, take)) {
      TrendPoint point;
      point.date = take->result.context.date;
      point.weeks = weeks_of(ordered, take);
      ordered.points.push_back(std::move(point));
      sums.emplace_back();
    }
    ordered.point_of.push_back(ordered.points.size() - 1);
    ordered.points.back().takes.push_back(take->name);
    sums.back().add(take->result);
  }
  for (std::size_t p = 0; p < sums.size(); ++p) sums[p].fill(ordered.points[p]);
  ordered.takes = std::move(takes);
  return ordered;
}

}  // namespace firmus::trend
