#include "short_vibrato.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace firmus::measure {
namespace {

constexpr std::size_t most_points = 50;
constexpr double drift_time_s = 0.06;                   ///< T in the covariance (1 + t/T) e^(-t/T)
constexpr std::array<double, 2> drift_sd_cents{8, 20};  ///< steady and unsteady singers
constexpr double flutter_cents = 2.5;                   ///< independent from point to point
constexpr double lowest_rate_hz = 2.8,
                 rate_step_hz = 0.2;  ///< wider steps make the posterior of the phase too narrow
constexpr int rates = 25;
constexpr std::array<double, 2> extents_cents{30, 90};  ///< prior standard deviation of either coefficient
constexpr double vibrato_prior = 0.25;                  ///< share of notes with vibrato; not critical

using Column = std::array<double, most_points>;

/// The Cholesky factor of the points' covariance under drift and flutter.
class Whitener {
 public:
  Whitener(const std::vector<double>& time_s, double cents) : n_(time_s.size()) {
    for (std::size_t i = 0; i < n_; ++i)
      for (std::size_t j = 0; j <= i; ++j) {
        const double lag = (time_s[i] - time_s[j]) / drift_time_s;
        double sum = cents * cents * (1 + lag) * std::exp(-lag) + (i == j ? flutter_cents * flutter_cents : 0);
        for (std::size_t k = 0; k < j; ++k) sum -= factor_[i][k] * factor_[j][k];
        factor_[i][j] = i == j ? std::sqrt(sum) : sum / factor_[j][j];
        if (i == j) log_determinant_ += 2 * std::log(factor_[i][i]);
      }
  }
  void whiten(Column& column) const {
    for (std::size_t i = 0; i < n_; ++i) {
      for (std::size_t k = 0; k < i; ++k) column[i] -= factor_[i][k] * column[k];
      column[i] /= factor_[i][i];
    }
  }
  double dot(const Column& a, const Column& b) const {
    double sum = 0;
    for (std::size_t i = 0; i < n_; ++i) sum += a[i] * b[i];
    return sum;
  }
  /// Removes the component along `unit` (whitened, length 1): the note's mean is a free parameter.
  void remove(Column& column, const Column& unit) const {
    const double along = dot(column, unit);
    for (std::size_t i = 0; i < n_; ++i) column[i] -= along * unit[i];
  }
  double log_determinant() const { return log_determinant_; }

 private:
  std::size_t n_;
  double log_determinant_ = 0;
  std::array<Column, most_points> factor_{};
};

/// One model: the log of its weight, and the posterior mean and variance of what vibrato adds to the mean under it.
struct Hypothesis {
  double log_weight = 0, mean = 0, variance = 0;
};

class ModelAverage {
 public:
  ModelAverage(const NoteSeries& series, Part part) {
    const std::size_t step = std::max<std::size_t>(2, (part.size() + most_points - 1) / most_points);
    for (std::size_t i = part.from; i < part.to; i += step) {
      time_s_.push_back(series.time_s[i]);
      cents_.push_back(series.cents[i]);
    }
  }

  double mean_sd() {
    for (const double drift : drift_sd_cents) add_hypotheses(Whitener(time_s_, drift));
    double top = -1e300;
    for (const Hypothesis& h : hypotheses_) top = std::max(top, h.log_weight);
    double total = 0, mean = 0, square = 0;
    for (const Hypothesis& h : hypotheses_) {
      const double weight = std::exp(h.log_weight - top);
      total += weight, mean += weight * h.mean, square += weight * (h.variance + h.mean * h.mean);
    }
    mean /= total;
    return std::sqrt(std::max(square / total - mean * mean, 0.0));
  }

 private:
  void add_hypotheses(const Whitener& whitener) {
    Column unit{}, y{};
    std::fill_n(unit.begin(), time_s_.size(), 1.0);
    std::copy(cents_.begin(), cents_.end(), y.begin());
    whitener.whiten(unit);
    whitener.whiten(y);
    const double length = std::sqrt(whitener.dot(unit, unit));
    for (double& value : unit) value /= length;
    whitener.remove(y, unit);
    const double plain = -0.5 * (whitener.log_determinant() + whitener.dot(y, y)) - std::log(length);
    hypotheses_.push_back({plain + std::log(1 - vibrato_prior), 0, 0});
    for (int i = 0; i < rates; ++i) add_rate(whitener, unit, y, plain, lowest_rate_hz + i * rate_step_hz);
  }

  void add_rate(const Whitener& whitener, const Column& unit, const Column& y, double plain, double rate_hz) {
    Column c{}, s{};
    double mean_c = 0, mean_s = 0;
    const auto count = static_cast<double>(time_s_.size());
    for (std::size_t i = 0; i < time_s_.size(); ++i) {
      const double angle = 2 * std::numbers::pi * rate_hz * (time_s_[i] - time_s_[0]);
      c[i] = std::cos(angle), s[i] = std::sin(angle);
      mean_c += c[i] / count, mean_s += s[i] / count;
    }
    for (Column* column : {&c, &s}) whitener.whiten(*column), whitener.remove(*column, unit);
    const double cc = whitener.dot(c, c), ss = whitener.dot(s, s), cs = whitener.dot(c, s);
    const double cy = whitener.dot(c, y), sy = whitener.dot(s, y);
    for (const double extent : extents_cents) {
      const double prior = 1 / (extent * extent), p = cc + prior, q = ss + prior, det = p * q - cs * cs;
      const double a = (q * cy - cs * sy) / det, b = (p * sy - cs * cy) / det;
      const double evidence = 0.5 * (a * cy + b * sy) - 0.5 * std::log(det / (prior * prior));
      const double share = vibrato_prior / static_cast<double>(rates * extents_cents.size());
      hypotheses_.push_back({plain + evidence + std::log(share), a * mean_c + b * mean_s,
                             (q * mean_c * mean_c - 2 * cs * mean_c * mean_s + p * mean_s * mean_s) / det});
    }
  }

  std::vector<double> time_s_, cents_;
  std::vector<Hypothesis> hypotheses_;
};

}  // namespace

double short_vibrato_mean_se(const NoteSeries& series, Part part) {
  return ModelAverage(series, part).mean_sd();
}

}  // namespace firmus::measure
