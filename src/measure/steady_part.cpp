#include "steady_part.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"

namespace firmus::measure {
namespace {

constexpr double edge_s = 0.080;             ///< attack and release lie within this of the ends
constexpr double least_attack_s = 0.015;     ///< always cut: half of the window that f0 is measured over lies outside
constexpr double edge_slope_db_per_s = 100;  ///< a level that changes faster is an attack or a release, not a swell
constexpr double quiet_db = 15;              ///< frames this far below the note's loud part are not steady either
constexpr double usual_sd_cents = 10;        ///< prior of natural drift; a smaller one cuts frames that are no scoop
constexpr double correlation_time_s = 0.1;   ///< of natural drift: one independent observation in this time
constexpr double prior_observations = 4;     ///< weight of the prior
constexpr double rms_weight = 0.8;           ///< the plain deviation counts where it exceeds the robust one by 25 %
constexpr double cut_from_z_score = 3.5;     ///< from here an end is a scoop or a glide; below, drift is likelier
constexpr double settled_cents = 5;          ///< the pitch has settled when it is this near the mean of what follows
constexpr double scoop_cents_per_s = 350;    ///< scoops of 40 cents in 0.1 s; drift of 15 cents moves at 200
constexpr std::size_t settle_frames = 12;    ///< "what follows": 60 ms

double loud_level(const NoteSeries& series) {
  std::vector<double> levels = series.level_db;
  const auto place = levels.begin() + static_cast<std::ptrdiff_t>(levels.size() * 3 / 4);
  std::nth_element(levels.begin(), place, levels.end());
  return *place;
}

/// A straight line through the inner frames of a note (a note may sink) and the standard deviation about it.
struct RobustLine {
  double middle_s = 0, at_middle = 0, slope = 0, sd = 0;
  double residual_cents(double time_s, double cents) const { return cents - at_middle - slope * (time_s - middle_s); }
};

double root_mean_square(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value * value;
  return std::sqrt(sum / static_cast<double>(values.size()));
}

/// Standard deviation about the line, shrunk towards the usual one: a short note shows little of its drift.
double sd_with_prior(const std::vector<double>& off_line, double independent_observations) {
  // A line fitted to few observations takes up part of their variance.
  const double shown =
      std::max(mad_sigma(off_line, 0), rms_weight * root_mean_square(off_line)) *
      std::sqrt(independent_observations / std::max(independent_observations - 1.5, 0.5 * independent_observations));
  return std::sqrt((independent_observations * shown * shown + prior_observations * usual_sd_cents * usual_sd_cents) /
                   (independent_observations + prior_observations));
}

/// Residuals about the line, whose level is set to their median first.
std::vector<double> level_on(const std::vector<double>& time_s, const std::vector<double>& cents, RobustLine& line) {
  std::vector<double> residual_cents;
  line.at_middle = 0;
  for (std::size_t i = 0; i < cents.size(); ++i) residual_cents.push_back(line.residual_cents(time_s[i], cents[i]));
  line.at_middle = median(residual_cents);
  for (double& value : residual_cents) value -= line.at_middle;
  return residual_cents;
}

RobustLine robust_line_of(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents, Part inner) {
  RobustLine line;
  std::vector<double> time_s, cents;
  const std::size_t step = 1 + inner.size() / 40;
  for (std::size_t i = inner.from; i < inner.to; i += step)
    time_s.push_back(series.time_s[i]), cents.push_back(vibrato_removed_cents[i]);
  line.middle_s = (time_s.front() + time_s.back()) / 2;
  const double length_s = time_s.back() - time_s.front(),
               independent_observations = std::max(length_s / correlation_time_s, 1.0);
  const double slope = theil_sen_slope(time_s, cents);
  line.slope = slope;
  const double about_line = sd_with_prior(level_on(time_s, cents, line), independent_observations);
  // The slope is shrunk by what such drift alone would show.
  const double by_chance = about_line * std::sqrt(12 / independent_observations) / length_s;
  line.slope = slope * std::max(0.0, 1 - 2 * by_chance * by_chance / (slope * slope + 1e-9));
  line.sd = sd_with_prior(level_on(time_s, cents, line), independent_observations);
  return line;
}

/// A series read from either end, so that attack and release, scoop and glide share one code.
class FromEnd {
 public:
  enum class End { first, last };
  FromEnd(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents, End end)
      : series_(series), cents_(vibrato_removed_cents), end_(end) {}
  std::size_t size() const { return cents_.size(); }
  double cents(std::size_t i) const { return cents_[place(i)]; }
  double level(std::size_t i) const { return series_.level_db[place(i)]; }
  double distance_s(std::size_t i) const { return std::abs(series_.time_s[place(i)] - series_.time_s[place(0)]); }

  /// Number of frames at this end whose level still rises towards the inside, or that are quiet.
  std::size_t attack_length(double loud_db) const {
    const std::size_t keep = size() / 4;
    std::size_t i = 0;
    for (; i < keep && i + 2 < size() && distance_s(i) < edge_s; ++i) {
      const double slope = (level(i + 2) - level(i)) / std::max(distance_s(i + 2) - distance_s(i), frame_s);
      // The first frame that does not rise ends the attack: vibrato moves the level of high notes as fast later on.
      if (slope <= edge_slope_db_per_s && level(i) >= loud_db - quiet_db && distance_s(i) >= least_attack_s - 1e-9)
        break;
    }
    return i;
  }

  /// Distance of the pitch at `skip` from the line in standard deviations, reduced where it approaches the line as
  /// slowly as drift does.
  double z_score(std::size_t skip, std::size_t settled, const RobustLine& line) const {
    if (skip + 3 > size()) return 0;
    const double away =
        std::abs(median({residual_cents(skip, line), residual_cents(skip + 1, line), residual_cents(skip + 2, line)})) /
        line.sd;
    if (settled <= skip) return away;
    const double speed =
        std::abs(residual_cents(settled, line) - residual_cents(skip, line)) / (distance_s(settled) - distance_s(skip));
    return away * std::min(1.0, speed / scoop_cents_per_s);
  }

  /// First frame from `skip` on at which the pitch has settled; `skip` when there is none.
  std::size_t settling_point(std::size_t skip, const RobustLine& line) const {
    for (std::size_t i = skip; i + settle_frames < size() && i < size() / 2; ++i)
      if (std::abs(residual_cents(i, line)) < cut_from_z_score * line.sd &&
          std::abs(mean_after(i) - cents(i)) < settled_cents)
        return i;
    return skip;
  }

 private:
  double residual_cents(std::size_t i, const RobustLine& line) const {
    return line.residual_cents(series_.time_s[place(i)], cents(i));
  }
  std::size_t place(std::size_t i) const { return end_ == End::first ? i : size() - 1 - i; }
  double mean_after(std::size_t i) const {
    double sum = 0;
    for (std::size_t j = 0; j < settle_frames; ++j) sum += cents(i + j);
    return sum / settle_frames;
  }
  const NoteSeries& series_;
  const std::vector<double>& cents_;
  End end_;
};

}  // namespace

Part find_steady_part(const NoteSeries& series, const std::vector<double>& vibrato_removed_cents) {
  const double loud = loud_level(series);
  const FromEnd start(series, vibrato_removed_cents, FromEnd::End::first),
      end(series, vibrato_removed_cents, FromEnd::End::last);
  const std::size_t first = start.attack_length(loud), last = end.attack_length(loud);
  const Part sounding{first, series.size() - last};
  const std::size_t fifth = sounding.size() / 5;
  const RobustLine line = robust_line_of(series, vibrato_removed_cents, {first + fifth, series.size() - last - fifth});
  const std::size_t start_settled = start.settling_point(first, line), end_settled = end.settling_point(last, line);
  Part steady = sounding;
  if (start.z_score(first, start_settled, line) >= cut_from_z_score) steady.from = start_settled;
  if (end.z_score(last, end_settled, line) >= cut_from_z_score) steady.to = series.size() - end_settled;
  return steady.size() < sounding.size() / 4 ? sounding : steady;
}

}  // namespace firmus::measure
