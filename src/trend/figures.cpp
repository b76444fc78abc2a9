// Ordinary least squares with a t interval. With 3 points it has one degree of freedom, so only a very clear change is
// significant. (A distribution-free slope cannot be significant at 5 % under 5 points.)
#include "figures.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/holm.hpp"
#include "base/student_t.hpp"

namespace firmus::trend {
namespace {

constexpr double error_rate = 0.05;
constexpr std::array kinds{TrendFigureKind::mean_abs, TrendFigureKind::in_tune_share, TrendFigureKind::precision,
                           TrendFigureKind::accuracy, TrendFigureKind::centre,        TrendFigureKind::drift};

struct RegressionLine {
  double slope = 0, level = 0;        ///< level: y at `mean_x`
  double mean_x = 0, se = 0, df = 0;  ///< standard error of the slope; degrees of freedom
  double at(double x) const { return level + slope * (x - mean_x); }
};

RegressionLine line_through(const std::vector<double>& x, const std::vector<double>& y) {
  RegressionLine line;
  const auto n = static_cast<double>(x.size());
  for (const double value : x) line.mean_x += value / n;
  for (const double value : y) line.level += value / n;
  double xx = 0, xy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    xx += (x[i] - line.mean_x) * (x[i] - line.mean_x);
    xy += (x[i] - line.mean_x) * (y[i] - line.level);
  }
  line.slope = xy / xx;
  double rest = 0;
  for (std::size_t i = 0; i < x.size(); ++i) rest += std::pow(y[i] - line.at(x[i]), 2);
  line.df = n - 2;
  line.se = std::sqrt(rest / line.df / xx);
  return line;
}

/// Lower limit of the slope's standard error: figures are rounded in the result files, so a smaller scatter of the
/// residuals is not meaningful. `span`: from the first to the last x.
double least_se(TrendFigureKind kind, double span) {
  const double rounding = kind == TrendFigureKind::in_tune_share ? 1e-4 : 0.1;
  return rounding / std::max(span, 1e-9);
}

std::optional<TrendFigure> slope_of(TrendFigureKind kind, std::span<const TrendPoint> points) {
  std::vector<double> x, y;
  for (const TrendPoint& point : points)
    if (const auto value = value_of(point, kind)) {
      x.push_back(point.weeks);
      y.push_back(*value);
    }
  if (x.size() < fewest_points || x.back() <= x.front()) return std::nullopt;
  RegressionLine line = line_through(x, y);
  line.se = std::max(line.se, least_se(kind, x.back() - x.front()));
  const double half = t_quantile(1 - error_rate / 2, line.df) * line.se;
  TrendFigure figure;
  figure.kind = kind;
  figure.first = line.at(x.front());
  figure.last = line.at(x.back());
  figure.per_week = line.slope;
  figure.ci95 = {line.slope - half, line.slope + half};
  figure.p = two_sided_p(line.slope / line.se, line.df);
  return figure;
}

/// Holm correction over all figures of the student.
void adjust(std::vector<TrendFigure>& figures) {
  std::vector<double> p;
  for (const TrendFigure& figure : figures) p.push_back(figure.p);
  const std::vector<double> adjusted = holm_adjusted(p);
  for (std::size_t i = 0; i < figures.size(); ++i) {
    figures[i].p_adjusted = adjusted[i];
    figures[i].clear = adjusted[i] <= error_rate;
  }
}

}  // namespace

std::optional<double> value_of(const TrendPoint& point, TrendFigureKind kind) {
  switch (kind) {
    case TrendFigureKind::mean_abs:
      return point.mean_abs_cents;
    case TrendFigureKind::in_tune_share:
      return point.in_tune_share;
    case TrendFigureKind::precision:
      return point.precision_cents;
    case TrendFigureKind::accuracy:
      return point.accuracy_cents;
    case TrendFigureKind::centre:
      return point.centre_cents;
    case TrendFigureKind::drift:
      return point.drift_cents_per_minute;
  }
  return std::nullopt;
}

std::vector<TrendFigure> figure_slopes(std::span<const TrendPoint> points) {
  std::vector<TrendFigure> figures;
  if (points.size() < fewest_points) return figures;
  for (const TrendFigureKind kind : kinds)
    if (const auto figure = slope_of(kind, points)) figures.push_back(*figure);
  adjust(figures);
  return figures;
}

}  // namespace firmus::trend

namespace firmus {}  // namespace firmus
