// The trend as CSV: one row per date, per habit, or per drill and date.
#include "row_fields.hpp"

namespace firmus {
using namespace report;

std::string trend_points_csv(const Trend& trend) {
  std::string text = "student";
  add_header(text, trend_point_fields());
  text += "\r\n";
  for (const StudentTrend& student : trend.students)
    for (const TrendPoint& point : student.points) {
      text += csv_cell(cell_of(student.student));
      add_cells(text, trend_point_fields(), point);
      text += "\r\n";
    }
  return text;
}

std::string trend_habits_csv(const Trend& trend) {
  std::string text = "student";
  add_header(text, trend_habit_fields());
  text += "\r\n";
  for (const StudentTrend& student : trend.students)
    for (const TrendHabit& habit : student.habits) {
      text += csv_cell(cell_of(student.student));
      add_cells(text, trend_habit_fields(), habit);
      text += "\r\n";
    }
  return text;
}

std::string trend_drills_csv(const Trend& trend) {
  std::string text = "student";
  add_header(text, aim_fields());
  add_header(text, trend_drill_point_fields());
  text += "\r\n";
  for (const StudentTrend& student : trend.students)
    for (const TrendDrills& drills : student.drills)
      for (const TrendDrillPoint& point : drills.points) {
        text += csv_cell(cell_of(student.student));
        add_cells(text, aim_fields(), drills.aim);
        add_cells(text, trend_drill_point_fields(), point);
        text += "\r\n";
      }
  return text;
}

}  // namespace firmus
