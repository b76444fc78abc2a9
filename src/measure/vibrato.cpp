#include "vibrato.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace firmus::measure {
namespace {

constexpr double coarsest_rate_hz = 2.75, highest_rate_hz = 8.5, coarse_rate_step_hz = 0.25;
constexpr std::size_t search_every = 4;                       ///< frames (20 ms): plenty for 8 Hz
constexpr double removed_from_hz = 2.8, removed_to_hz = 8.1;  ///< 3 to 8 Hz and the error of one note's rate
constexpr double least_extent_cents = 5;
constexpr double least_cycles = 1.2;        ///< fewer look like a bend of the pitch
constexpr double least_usual_cycles = 0.8;  ///< where the singer's rate is known
constexpr double usual_rate_sds = 2;        ///< a note's rate is sought so many standard deviations about the usual
constexpr double cycles_for_change = 2.5;   ///< from here on the fit lets extent and rate change
constexpr double least_explained = 0.6;     ///< share of the variance about the line

constexpr double frames_per_independent_residual = 50;  ///< drift with a correlation time near 0.1 s

constexpr std::size_t most_terms = 6;
using Row = std::array<double, most_terms>;

/// Least squares over the terms by normal equations and Cholesky; the basis is well scaled and small.
class LeastSquares {
 public:
  explicit LeastSquares(std::size_t terms) : terms_(terms) {}
  void add(const Row& row, double y) {
    for (std::size_t i = 0; i < terms_; ++i) {
      for (std::size_t j = 0; j <= i; ++j) normal_[i][j] += row[i] * row[j];
      right_[i] += row[i] * y;
    }
    total_ += y * y;
  }
  /// False when the terms are linearly dependent.
  bool solve() {
    for (std::size_t i = 0; i < terms_; ++i) {
      for (std::size_t j = 0; j <= i; ++j) {
        double sum = normal_[i][j];
        for (std::size_t k = 0; k < j; ++k) sum -= factor_[i][k] * factor_[j][k];
        if (i == j && !(sum > 1e-9 * normal_[i][i])) return false;
        factor_[i][j] = i == j ? std::sqrt(sum) : sum / factor_[j][j];
      }
    }
    back_substitute();
    return true;
  }
  const Row& solution() const { return solution_; }
  double residual() const {
    double fitted = 0;
    for (std::size_t i = 0; i < terms_; ++i) fitted += solution_[i] * right_[i];
    return std::max(total_ - fitted, 0.0);
  }

 private:
  void back_substitute() {
    Row half{};
    for (std::size_t i = 0; i < terms_; ++i) {
      double sum = right_[i];
      for (std::size_t k = 0; k < i; ++k) sum -= factor_[i][k] * half[k];
      half[i] = sum / factor_[i][i];
    }
    for (std::size_t i = terms_; i-- > 0;) {
      double sum = half[i];
      for (std::size_t k = i + 1; k < terms_; ++k) sum -= factor_[k][i] * solution_[k];
      solution_[i] = sum / factor_[i][i];
    }
  }
  std::size_t terms_;
  std::array<Row, most_terms> normal_{}, factor_{};
  Row right_{}, solution_{};
  double total_ = 0;
};

struct RateFit {
  double rate_hz = 0, residual = 0;
  Row terms{};
  bool solved = false;
};

/// A phasor that turns by the same angle from one time to the next, so that equal steps need no sine and cosine.
class Phasor {
 public:
  explicit Phasor(double rate_hz) : angular_hz_(2 * std::numbers::pi * rate_hz) {}
  void move_to(double time_s) {
    const double step_s = time_s - time_s_;
    if (std::abs(step_s - usual_step_s_) > 1e-9 || ++turns_ > most_turns) {
      turn_cosine_ = std::cos(angular_hz_ * step_s), turn_sine_ = std::sin(angular_hz_ * step_s);
      cosine = std::cos(angular_hz_ * time_s), sine = std::sin(angular_hz_ * time_s);
      usual_step_s_ = step_s, turns_ = 0;
    } else {
      const double old = cosine;
      cosine = old * turn_cosine_ - sine * turn_sine_, sine = sine * turn_cosine_ + old * turn_sine_;
    }
    time_s_ = time_s;
  }
  double cosine = 1, sine = 0;

 private:
  static constexpr int most_turns = 200;  // then anew: rounding errors stay below 1e-13
  double angular_hz_, time_s_ = 0, usual_step_s_ = 0, turn_cosine_ = 1, turn_sine_ = 0;
  int turns_ = 0;
};

/// `rate_hz` 0: the line alone.
RateFit fit_at(const NoteSeries& series, Part part, double middle_s, double rate_hz, std::size_t terms,
               std::size_t every = 1) {
  LeastSquares squares(terms);
  Phasor phasor(rate_hz);
  for (std::size_t i = part.from; i < part.to; i += every) {
    const double t = series.time_s[i] - middle_s;
    phasor.move_to(t);
    const double c = phasor.cosine, s = phasor.sine;
    squares.add({1, t, c, s, t * c, t * s}, series.cents[i]);
  }
  RateFit fit{rate_hz, 0, {}, squares.solve()};
  if (fit.solved) fit.terms = squares.solution(), fit.residual = squares.residual();
  return fit;
}

/// The rate between `low_hz` and `high_hz` with the smallest residual, from every fourth frame.
double best_rate(const NoteSeries& series, Part part, double middle_s, double low_hz, double high_hz, double step_hz) {
  double best_hz = low_hz, least = 1e300;
  for (double rate = low_hz; rate <= high_hz + 1e-9; rate += step_hz) {
    const RateFit fit = fit_at(series, part, middle_s, rate, 4, search_every);
    if (fit.solved && fit.residual < least) best_hz = rate, least = fit.residual;
  }
  return best_hz;
}

/// The search is coarse over a wide range, and fine about what it finds.
RateFit best_fit(const NoteSeries& series, Part part, double middle_s) {
  const double near = best_rate(series, part, middle_s, coarsest_rate_hz, highest_rate_hz, coarse_rate_step_hz);
  const double fine = coarse_rate_step_hz / 4;
  return fit_at(series, part, middle_s, best_rate(series, part, middle_s, near - 3 * fine, near + 3 * fine, fine), 4);
}

RateFit fit_near(const NoteSeries& series, Part part, double middle_s, const UsualVibrato& usual) {
  const double reach_hz = usual_rate_sds * usual.rate_sd_hz;
  const double rate_hz = best_rate(series, part, middle_s, usual.rate_hz - reach_hz, usual.rate_hz + reach_hz,
                                   std::max(reach_hz / 4, 0.01));
  return fit_at(series, part, middle_s, rate_hz, 4);
}

double fewest_cycles(double rate_hz, bool is_usual) {
  if (is_usual) return least_usual_cycles;
  return rate_hz < slowest_vibrato_hz ? least_wobble_cycles : least_cycles;
}

}  // namespace

double VibratoFit::at(double time_s) const {
  const double t = time_s - middle_s, angle = 2 * std::numbers::pi * rate_hz * t;
  return (cosine + cosine_slope * t) * std::cos(angle) + (sine + sine_slope * t) * std::sin(angle);
}

double vibrato_mean_se(const VibratoFit& fit, const NoteSeries& series, Part part) {
  const auto n = static_cast<double>(part.size());
  double mean_cosine = 0, mean_sine = 0;
  for (std::size_t i = part.from; i < part.to; ++i) {
    const double angle = 2 * std::numbers::pi * fit.rate_hz * (series.time_s[i] - fit.middle_s);
    mean_cosine += std::cos(angle) / n, mean_sine += std::sin(angle) / n;
  }
  // Coefficients of a sine fitted to n independent values have a standard error of sqrt(2/n) times their deviation;
  // drift makes `frames_per_independent_residual` frames count as one.
  const double coefficient_se = fit.residual_cents * std::sqrt(2 * frames_per_independent_residual / n);
  return coefficient_se * std::hypot(mean_cosine, mean_sine);
}

std::optional<VibratoFit> fit_vibrato(const NoteSeries& series, Part part, const std::optional<UsualVibrato>& usual) {
  if (part.size() < 12) return std::nullopt;
  const double length_s = series.time_s[part.to - 1] - series.time_s[part.from];
  const double middle_s = series.time_s[part.from] + length_s / 2;
  RateFit best = usual ? fit_near(series, part, middle_s, *usual) : best_fit(series, part, middle_s);
  const RateFit line = fit_at(series, part, middle_s, 0, 2);
  if (!best.solved || !line.solved) return std::nullopt;
  const double extent = std::hypot(best.terms[2], best.terms[3]);
  if (best.rate_hz < removed_from_hz || best.rate_hz > removed_to_hz || extent < least_extent_cents ||
      length_s * best.rate_hz < fewest_cycles(best.rate_hz, usual.has_value()) ||
      best.residual > (1 - least_explained) * line.residual)
    return std::nullopt;
  if (length_s * best.rate_hz >= cycles_for_change)
    if (const RateFit changing = fit_at(series, part, middle_s, best.rate_hz, 6); changing.solved) best = changing;
  const double left = std::sqrt(best.residual / static_cast<double>(part.size()));
  return VibratoFit{best.rate_hz, extent, middle_s, left, best.terms[2], best.terms[3], best.terms[4], best.terms[5]};
}

}  // namespace firmus::measure
