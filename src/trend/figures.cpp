#include "figures.hpp"

#include <array>
#include <cmath>

#include "base/holm.hpp"
#include "serial_line.hpp"

namespace firmus::trend {
namespace {

constexpr double error_rate = 0.05;
constexpr std::array kinds{TrendFigureKind::mean_abs, TrendFigureKind::in_tune_share, TrendFigureKind::precision,
                           TrendFigureKind::accuracy, TrendFigureKind::centre,        TrendFigureKind::drift};

/// Lower limit of the scatter about the line: figures are rounded in the result files.
double rounding_of(TrendFigureKind kind) {
  return kind == TrendFigureKind::in_tune_share ? 1e-4 : 0.1;
}

std::optional<TrendFigure> slope_of(TrendFigureKind kind, std::span<const TrendPoint> points) {
  std::vector<DatedValue> values;
  bool from_notes = kind == TrendFigureKind::mean_abs;
  for (const TrendPoint& point : points)
    if (const auto value = value_of(point, kind)) {
      from_notes = from_notes && point.mean_abs_se_cents;
      values.push_back({point.weeks, *value, std::pow(point.mean_abs_se_cents.value_or(0), 2)});
    }
  if (values.size() < fewest_points || values.back().week <= values.front().week) return std::nullopt;
  const SerialLine line = from_notes ? serial_line_of_notes(values) : serial_line(values, rounding_of(kind));
  TrendFigure figure;
  figure.kind = kind;
  figure.first = line.first;
  figure.last = line.last;
  figure.per_week = line.slope;
  figure.ci95 = line.ci95;
  figure.p = line.p;
  return figure;
}

/// The mean absolute error, which the headline tells, is tested alone; the others share another error rate (Holm).
void adjust(std::vector<TrendFigure>& figures) {
  std::vector<double> others;
  for (const TrendFigure& figure : figures)
    if (figure.kind != TrendFigureKind::mean_abs) others.push_back(figure.p);
  const std::vector<double> adjusted = holm_adjusted(others);
  auto next = adjusted.begin();
  for (TrendFigure& figure : figures) {
    figure.p_adjusted = figure.kind == TrendFigureKind::mean_abs ? figure.p : *next++;
    figure.clear = figure.p_adjusted <= error_rate;
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
