#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "firmus/picture.hpp"
#include "firmus/trend.hpp"
#include "legend.hpp"
#include "panel.hpp"
#include "report/words.hpp"
#include "text_width.hpp"

namespace firmus::picture {
namespace {

constexpr double trend_left_px = 12, column_gap_px = 24;
constexpr std::size_t max_habits = 6;

struct TrendChart {
  TrendFigureKind kind;
  std::string_view title, unit;
  std::optional<double> TrendPoint::*value;
  double factor;
  bool is_signed;
};
constexpr std::array trend_charts{
    TrendChart{TrendFigureKind::mean_abs, "Average error", "cents", &TrendPoint::mean_abs_cents, 1, false},
    TrendChart{TrendFigureKind::in_tune_share, "Notes in tune", "percent", &TrendPoint::in_tune_share, 100, false},
    TrendChart{TrendFigureKind::precision, "Variation", "cents", &TrendPoint::precision_cents, 1, false},
    TrendChart{TrendFigureKind::accuracy, "Mean error", "cents", &TrendPoint::accuracy_cents, 1, true},
    TrendChart{TrendFigureKind::centre, "Your A, against concert pitch", "cents", &TrendPoint::centre_cents, 1, true},
    TrendChart{TrendFigureKind::drift, "Pitch drift", "cents per minute", &TrendPoint::drift_cents_per_minute, 1,
               true}};

/// A panel with positions and names alone: dates, or takes in order.
Panel empty_panel(const StudentTrend& student) {
  Panel panel;
  for (const TrendPoint& point : student.points) {
    panel.at.push_back(point.weeks);
    panel.names.push_back(point.date ? *point.date : fmt::format("no. {:.0f}", point.weeks + 1));
  }
  return panel;
}

std::optional<std::pair<double, double>> trend_line(const StudentTrend& student, const TrendChart& figure) {
  for (const TrendFigure& trend : student.figures)
    if (trend.kind == figure.kind) return std::pair{figure.factor * trend.first, figure.factor * trend.last};
  return std::nullopt;
}

Panel panel_of(const StudentTrend& student, const TrendChart& figure) {
  Panel panel = empty_panel(student);
  panel.title = figure.title;
  panel.unit = figure.unit;
  panel.is_signed = figure.is_signed;
  for (const TrendPoint& point : student.points) {
    const std::optional<double>& value = point.*figure.value;
    panel.values.push_back(value ? std::optional(figure.factor * *value) : std::nullopt);
  }
  panel.trend = trend_line(student, figure);
  if (figure.kind == TrendFigureKind::in_tune_share) panel.min_range = {0, 100};
  if (figure.kind == TrendFigureKind::mean_abs || figure.kind == TrendFigureKind::precision) panel.min_range = {0, 20};
  if (figure.is_signed) panel.min_range = {-10, 10};
  return panel;
}

Panel panel_of(const StudentTrend& student, const TrendHabit& habit) {
  Panel panel = empty_panel(student);
  panel.title = report::group_in_words(habit.change.habit.row);
  panel.unit = "cents";
  panel.is_signed = true;
  panel.values = habit.cents_by_point;
  panel.values.resize(student.points.size());
  panel.min_range = {-10, 10};
  return panel;
}

std::vector<Panel> panels_of(const StudentTrend& student) {
  std::vector<Panel> panels;
  for (const TrendChart& figure : trend_charts) {
    Panel panel = panel_of(student, figure);
    const bool any = std::any_of(panel.values.begin(), panel.values.end(), [](const auto& v) { return v.has_value(); });
    if (any) panels.push_back(std::move(panel));
  }
  for (std::size_t i = 0; i < std::min(student.habits.size(), max_habits); ++i)
    panels.push_back(panel_of(student, student.habits[i]));
  return panels;
}

std::vector<LegendEntry> trend_legend(const StudentTrend& student) {
  using Symbol = LegendEntry::Symbol;
  std::vector<LegendEntry> entries{
      {Symbol::mark, MarkKind::in_tune, student.by_date ? "the recordings of a date" : "a recording"},
      {Symbol::mark, MarkKind::sharp, "sharp"},
      {Symbol::mark, MarkKind::flat, "flat"}};
  if (!student.figures.empty())
    entries.push_back({Symbol::dashes, MarkKind::in_tune, "straight line through the points"});
  return entries;
}

std::string first_and_last_in_words(const Panel& panel) {
  std::vector<double> values;
  for (const auto& value : panel.values)
    if (value) values.push_back(*value);
  if (values.empty()) return {};
  return fmt::format("{}: {:.0f} {} at first, {:.0f} at last", panel.title, values.front() + 0.0, panel.unit,
                     values.back() + 0.0);
}

std::string student_name(const StudentTrend& student) {
  return student.student.value_or(student.takes.empty() ? "" : "without a name");
}

/// Draws the panels of a student from `y` on, two side by side; returns where they end.
double draw_student(Svg& svg, const std::vector<Panel>& panels, double y) {
  constexpr double below_px = 10;
  const double width = (width_px - 2 * trend_left_px - column_gap_px) / 2;
  for (std::size_t i = 0; i < panels.size(); ++i) {
    const bool at_left = i % 2 == 0;
    if (at_left) svg.page_break(y);
    draw_panel(svg, panels[i], at_left ? trend_left_px : trend_left_px + width + column_gap_px, y, width);
    if (!at_left || i + 1 == panels.size()) y += panel_height_px + below_px;
  }
  return y;
}

std::string trend_description(const StudentTrend& student, const std::vector<Panel>& panels) {
  std::vector<std::string> phrases;
  for (const Panel& panel : panels)
    if (std::string words = first_and_last_in_words(panel); !words.empty()) phrases.push_back(std::move(words));
  return fmt::format("Figures of {} in order, each in a chart of its own. {}.",
                     student.by_date ? report::counted(static_cast<int>(student.points.size()), "date")
                                     : report::counted(static_cast<int>(student.points.size()), "take"),
                     fmt::join(phrases, "; "));
}

std::string draw_trend_picture(const StudentTrend& student) {
  const std::vector<Panel> panels = panels_of(student);
  Svg svg;
  const double top = draw_legend(svg, trend_legend(student), trend_left_px, 4) + 8;
  const double bottom = draw_student(svg, panels, top);
  return svg.finish(width_px, bottom, "trend", "Progress", trend_description(student, panels));
}

double draw_student_name(Svg& svg, const std::string& name, double y) {
  constexpr double name_px = 24;
  svg.text(trend_left_px, y + name_px / 2, cut_to(name, width_px - 2 * trend_left_px, 1.2 * label_px),
           {label_px, muted_ink, Anchor::start});
  return y + name_px;
}

std::string draw_trend_picture(const Trend& trend) {
  Svg svg;
  double y = 8;
  std::string description;
  for (const StudentTrend& student : trend.students) {
    if (student.points.size() < 2) continue;
    const std::vector<Panel> panels = panels_of(student);
    if (description.empty()) y = draw_legend(svg, trend_legend(student), trend_left_px, 4) + 8;
    if (student.student) y = draw_student_name(svg, *student.student, y);
    y = draw_student(svg, panels, y);
    description += fmt::format("{}{}: {}", description.empty() ? "" : " ", student_name(student),
                               trend_description(student, panels));
  }
  if (description.empty()) description = "Needs at least two recordings.";
  return svg.finish(width_px, y, "trend", "Progress", description);
}

}  // namespace
}  // namespace firmus::picture

namespace firmus {

std::string trend_picture(const StudentTrend& student) {
  return student.points.size() < 2 ? std::string() : picture::draw_trend_picture(student);
}

std::string trend_picture(const Trend& trend) {
  return picture::draw_trend_picture(trend);
}

}  // namespace firmus
