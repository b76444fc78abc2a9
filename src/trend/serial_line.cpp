#include "serial_line.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "base/student_t.hpp"

namespace firmus::trend {
namespace {

/// From one week to the next. Without the larger ones, students whose weeks resemble each other are said to change.
constexpr std::array autocorrelations{0.0, 0.25, 0.5, 0.75};
constexpr std::array form_sds_cents{0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0};
/// Prior of the day's form: typical_form_cents is the likeliest. A smaller one finds more real gains, and more of
/// steady students with a changing form are said to change (simulation, seeds below 200).
constexpr double typical_form_cents = 2.75, prior_at_none = 0.5;
/// The mean size of the errors of a date is never known better.
constexpr double least_value_sd_cents = 0.5;

double form_prior(double sd_cents) {
  return (sd_cents + prior_at_none) * std::exp(-0.5 * std::pow(sd_cents / typical_form_cents, 2));
}

/// Scatter about the line: an AR(1) process in time plus independent noise.
struct Scatter {
  double autocorrelation = 0, form_variance = 0;
  bool with_value_variance = false;
};

/// Sums of products of whitened intercept, week and value.
struct NormalEquations {
  double oo = 0, ow = 0, ww = 0, oy = 0, wy = 0, yy = 0;
  double log_determinant = 0;  ///< of the covariance matrix
};

constexpr double least_total = 1e-12;  // two values of one moment

/// Innovations of the scatter by the Kalman filter (Kalman 1960; for regression Harvey 1989, section 3.4): linear in
/// the number of dates. Weeks are counted from `mean_week`.
NormalEquations whitened_sums(std::span<const DatedValue> values, double mean_week, const Scatter& scatter) {
  NormalEquations sums;
  std::array<double, 3> state{};
  double variance = scatter.form_variance, week = values.front().week;
  for (const DatedValue& at : values) {
    const double kept = at.week > week ? std::pow(scatter.autocorrelation, at.week - week) : 1;
    week = at.week;
    variance = kept * kept * variance + (1 - kept * kept) * scatter.form_variance;
    const double noise =
        scatter.with_value_variance ? std::max(at.variance, least_value_sd_cents * least_value_sd_cents) : 0;
    const double total = std::max(variance + noise, least_total), gain = variance / total;
    std::array<double, 3> whitened{1, at.week - mean_week, at.value};
    for (std::size_t i = 0; i < whitened.size(); ++i) {
      state[i] *= kept;
      const double innovation = whitened[i] - state[i];
      state[i] += gain * innovation;
      whitened[i] = innovation / std::sqrt(total);
    }
    variance *= 1 - gain;
    const auto [one, w, y] = whitened;
    sums.oo += one * one, sums.ow += one * w, sums.ww += w * w;
    sums.oy += one * y, sums.wy += w * y, sums.yy += y * y;
    sums.log_determinant += std::log(total);
  }
  return sums;
}

/// The line under one kind of scatter.
struct Component {
  double level = 0, slope = 0, slope_se = 0;  ///< level: at the mean week
  std::optional<double> df;                   ///< none: normal
  double log_weight = 0, weight = 0;
};

struct Fit {
  double level = 0, slope = 0, slope_variance = 0, rest = 0, log_determinant = 0;
};
Fit fit_of(const NormalEquations& sums) {
  const double determinant = sums.oo * sums.ww - sums.ow * sums.ow;
  Fit fit;
  fit.level = (sums.ww * sums.oy - sums.ow * sums.wy) / determinant;
  fit.slope = (sums.oo * sums.wy - sums.ow * sums.oy) / determinant;
  fit.slope_variance = sums.oo / determinant;
  fit.rest = std::max(0.0, sums.yy - fit.level * sums.oy - fit.slope * sums.wy);
  fit.log_determinant = sums.log_determinant + std::log(determinant);
  return fit;
}

/// P(true slope < `slope`).
double probability_below(const Component& component, double slope) {
  const double z = (slope - component.slope) / component.slope_se;
  if (!component.df) return 0.5 * std::erfc(-z / std::sqrt(2.0));
  const double tail = two_sided_p(z, *component.df) / 2;
  return z < 0 ? tail : 1 - tail;
}

class Mixture {
 public:
  explicit Mixture(std::vector<Component> components) : components_(std::move(components)) {
    double most = components_.front().log_weight, sum = 0;
    for (const Component& one : components_) most = std::max(most, one.log_weight);
    for (Component& one : components_) sum += one.weight = std::exp(one.log_weight - most);
    for (Component& one : components_) one.weight /= sum;
  }

  template <auto Member>
  double mean() const {
    double mean = 0;
    for (const Component& one : components_) mean += one.weight * one.*Member;
    return mean;
  }
  double below(double slope) const {
    double probability = 0;
    for (const Component& one : components_) probability += one.weight * probability_below(one, slope);
    return probability;
  }
  /// Two-sided p of a slope of 0. Both tails are summed: 1 minus one of them would lose small values.
  double p_of_none() const {
    double lower = 0, upper = 0;
    for (const Component& one : components_) {
      lower += one.weight * probability_below(one, 0);
      Component mirrored = one;
      mirrored.slope = -one.slope;
      upper += one.weight * probability_below(mirrored, 0);
    }
    return std::min(1.0, 2 * std::min(lower, upper));
  }
  /// The slope that is exceeded with probability 1 - `probability`, by bisection.
  double quantile(double probability) const {
    double low = components_.front().slope, high = low, step = 0;
    for (const Component& one : components_) step = std::max(step, one.slope_se);
    while (below(low) > probability) low -= step;
    while (below(high) < probability) high += step;
    for (int halving = 0; halving < 30; ++halving) {
      const double middle = (low + high) / 2;
      (below(middle) < probability ? low : high) = middle;
    }
    return (low + high) / 2;
  }

 private:
  std::vector<Component> components_;
};

double mean_week_of(std::span<const DatedValue> values) {
  double sum = 0;
  for (const DatedValue& at : values) sum += at.week;
  return sum / static_cast<double>(values.size());
}

SerialLine line_of(std::vector<Component> components, std::span<const DatedValue> values, double mean_week) {
  const Mixture mixture(std::move(components));
  SerialLine line;
  const double level = mixture.mean<&Component::level>();
  line.slope = mixture.mean<&Component::slope>();
  line.first = level + line.slope * (values.front().week - mean_week);
  line.last = level + line.slope * (values.back().week - mean_week);
  line.ci95 = {mixture.quantile(0.025), mixture.quantile(0.975)};
  line.p = mixture.p_of_none();
  return line;
}

}  // namespace

SerialLine serial_line_of_notes(std::span<const DatedValue> values) {
  const double mean_week = mean_week_of(values);
  std::vector<Component> components;
  for (const double form : form_sds_cents)
    for (const double autocorrelation : autocorrelations) {
      if (form == 0 && autocorrelation > 0) continue;  // no form, nothing that could persist
      const Fit fit = fit_of(whitened_sums(values, mean_week, {autocorrelation, form * form, true}));
      components.push_back({fit.level, fit.slope, std::sqrt(fit.slope_variance), std::nullopt,
                            std::log(form_prior(form)) - 0.5 * (fit.log_determinant + fit.rest), 0});
    }
  return line_of(std::move(components), values, mean_week);
}

SerialLine serial_line(std::span<const DatedValue> values, double least_sd) {
  const double mean_week = mean_week_of(values), df = static_cast<double>(values.size()) - 2;
  std::vector<Component> components;
  for (const double autocorrelation : autocorrelations) {
    const Fit fit = fit_of(whitened_sums(values, mean_week, {autocorrelation, 1, false}));
    const double variance = std::max(fit.rest / df, least_sd * least_sd);
    components.push_back({fit.level, fit.slope, std::sqrt(variance * fit.slope_variance), df,
                          -0.5 * (fit.log_determinant + df * std::log(variance)), 0});
  }
  return line_of(std::move(components), values, mean_week);
}

}  // namespace firmus::trend
