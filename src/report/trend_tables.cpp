// The trend as CSV, a row a date or a habit, and as JSON.
#include "firmus/report.hpp"
#include "trend_fields.hpp"
#include "trend_words.hpp"

namespace firmus {
using namespace report;
namespace {

template <class Row>
std::string header_of(std::span<const TrendField<Row>> fields) {
  std::string line = "student";
  for (const TrendField<Row>& field : fields) {
    line += ',';
    line += field.name;
  }
  return line + "\r\n";
}

template <class Row>
std::string row_of(const StudentTrend& student, std::span<const TrendField<Row>> fields, const Row& row) {
  std::string line = csv_cell(cell_of(student.student));
  for (const TrendField<Row>& field : fields) {
    line += ',';
    line += csv_cell(field.get(row));
  }
  return line + "\r\n";
}

template <class Row>
Json object_of(std::span<const TrendField<Row>> fields, const Row& row) {
  Json object = Json::object();
  for (const TrendField<Row>& field : fields) object[std::string(field.name)] = to_json(field.get(row));
  return object;
}

Json figures_of(const StudentTrend& student) {
  Json list = Json::array();
  for (const TrendFigure& figure : student.figures) {
    list.push_back(object_of(trend_figure_fields(), figure));
    list.back()["clear"] = figure.clear;
  }
  return list;
}

Json habits_of(const StudentTrend& student) {
  Json list = Json::array();
  for (const TrendHabit& habit : student.habits) {
    list.push_back(object_of(trend_habit_fields(), habit));
    Json by_point = Json::array();
    for (const auto& cents : habit.cents_by_point) by_point.push_back(to_json(cell_of(cents, 1)));
    list.back()["cents_by_point"] = std::move(by_point);
  }
  return list;
}

Json aim_of(const DrillAim& aim) {
  return {{"off", aim.flat ? "flat" : "sharp"},
          {"group", aim.group},
          {"name", as_utf8(aim.name)},
          {"direction", aim.direction ? Json(std::string(to_string(*aim.direction))) : Json()}};
}

Json drills_of(const StudentTrend& student) {
  Json list = Json::array();
  for (const TrendDrills& drills : student.drills) {
    Json object = aim_of(drills.aim), points = Json::array(), states = Json::array();
    for (const auto& [drill, state] : drills.states)
      states.push_back(Json{{"drill", as_utf8(drill)}, {"state", std::string(to_string(state))}});
    for (const TrendDrillPoint& point : drills.points) {
      points.push_back(object_of(trend_drill_fields(), point));
      points.back()["done"] = point.done;
    }
    object["by_date"] = drills.by_date;
    object["first_cents"] = to_json(cell_of(drills.first_cents, 1));
    object["last_cents"] = to_json(cell_of(drills.last_cents, 1));
    object["drills"] = std::move(states);
    object["points"] = std::move(points);
    object["doubtful"] = Json::array();
    for (const std::string& take : drills.doubtful) object["doubtful"].push_back(as_utf8(take));
    list.push_back(std::move(object));
  }
  return list;
}

Json student_of(const StudentTrend& student) {
  Json points = Json::array(), left_out = Json::array();
  for (const TrendPoint& point : student.points) points.push_back(object_of(trend_point_fields(), point));
  for (const TrendLeftOut& one : student.left_out)
    left_out.push_back(Json{{"take", as_utf8(one.name)}, {"why", as_utf8(left_out_in_words(one))}});
  return {{"student", to_json(cell_of(student.student))},
          {"by_date", student.by_date},
          {"earlier_points", student.earlier_points},
          {"melodies", student.melodies},
          {"settings_differ", student.settings_differ},
          {"points", std::move(points)},
          {"figures", figures_of(student)},
          {"habits", habits_of(student)},
          {"drills", drills_of(student)},
          {"left_out", std::move(left_out)}};
}

std::string drill_row(const StudentTrend& student, const DrillAim& aim, const TrendDrillPoint& point) {
  std::vector<Cell> cells{cell_of(student.student), Cell(aim.flat ? "flat" : "sharp"), Cell(aim.group), Cell(aim.name),
                          aim.direction ? Cell(std::string(to_string(*aim.direction))) : Cell()};
  for (const auto& field : trend_drill_fields()) cells.push_back(field.get(point));
  cells.emplace_back(point.done ? "yes" : "no");
  std::string line;
  for (const Cell& cell : cells) line.append(&cell == &cells.front() ? 0 : 1, ',').append(csv_cell(cell));
  return line + "\r\n";
}

}  // namespace

std::string trend_as_json(const Trend& trend) {
  Json students = Json::array();
  for (const StudentTrend& student : trend.students) students.push_back(student_of(student));
  const Json object = {{"schema", "firmus.trend/1"},
                       {"program", {{"version", std::string(program_version())}}},
                       {"students", std::move(students)}};
  return object.dump();
}

std::string_view trend_json_schema() {
  static constexpr std::string_view text =
#include "trend_schema.inc"
      ;
  return text;
}

std::string trend_points_csv(const Trend& trend) {
  std::string rows = header_of(trend_point_fields());
  for (const StudentTrend& student : trend.students)
    for (const TrendPoint& point : student.points) rows += row_of(student, trend_point_fields(), point);
  return rows;
}

std::string trend_habits_csv(const Trend& trend) {
  std::string rows = header_of(trend_habit_fields());
  for (const StudentTrend& student : trend.students)
    for (const TrendHabit& habit : student.habits) rows += row_of(student, trend_habit_fields(), habit);
  return rows;
}

std::string trend_drills_csv(const Trend& trend) {
  std::string rows = "student,off,group,name,direction";
  for (const auto& field : trend_drill_fields()) rows.append(1, ',').append(field.name);
  rows += ",done\r\n";
  for (const StudentTrend& student : trend.students)
    for (const TrendDrills& drills : student.drills)
      for (const TrendDrillPoint& point : drills.points) rows += drill_row(student, drills.aim, point);
  return rows;
}

}  // namespace firmus
