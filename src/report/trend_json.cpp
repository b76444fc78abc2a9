// The trend as JSON, and the JSON Schema of firmus.trend/1.
#include "json_fields.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

Json texts_of(const std::vector<std::string>& texts) {
  return to_json(Cell(texts));
}

Json drills_of(const TrendDrills& drills) {
  Json object = json_object(aim_fields(), drills.aim);
  add_to(object, trend_drills_fields(), drills);
  object["drills"] = json_list(drill_state_fields(), drills.states);
  object["points"] = json_list(trend_drill_point_fields(), drills.points);
  object["doubtful"] = texts_of(drills.doubtful);
  return object;
}

Json student_of(const StudentTrend& student) {
  Json object = json_object(student_trend_fields(), student), drills = Json::array();
  for (const TrendDrills& one : student.drills) drills.push_back(drills_of(one));
  object["points"] = json_list(trend_point_fields(), student.points);
  object["figures"] = json_list(trend_figure_fields(), student.figures);
  object["habits"] = json_list(trend_habit_fields(), student.habits);
  object["drills"] = std::move(drills);
  object["left_out"] = json_list(left_out_fields(), student.left_out);
  return object;
}

Json drills_schema() {
  Json drills = object_schema(trend_drills_fields(), object_schema(aim_fields()));
  add_property(drills, "drills", list_schema(object_schema(drill_state_fields())));
  add_property(drills, "points", list_schema(object_schema(trend_drill_point_fields())));
  add_property(drills, "doubtful", list_schema({{"type", "string"}}, "takes that may not be of their drill"));
  return described(std::move(drills), "what became of one fault in the drills against it");
}

Json student_schema() {
  Json student = object_schema(student_trend_fields());
  add_property(student, "points",
               list_schema(described(object_schema(trend_point_fields()),
                                     "the takes of one date together; without dates one take")));
  add_property(student, "figures", list_schema(object_schema(trend_figure_fields()), "empty under 3 points"));
  add_property(student, "habits", list_schema(object_schema(trend_habit_fields())));
  add_property(student, "drills", list_schema(drills_schema()));
  add_property(student, "left_out", list_schema(object_schema(left_out_fields()), "takes that no figure is made of"));
  return student;
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string trend_as_json(const Trend& trend) {
  Json students = Json::array();
  for (const StudentTrend& student : trend.students) students.push_back(student_of(student));
  const Json object = {{"schema", "firmus.trend/1"},
                       {"program", {{"version", std::string(program_version())}}},
                       {"students", std::move(students)}};
  return object.dump();
}

std::string trend_json_schema() {
  Json schema = schema_head("trend",
                            "How students get on over their takes. Null: cannot be told. Cents and weeks; fields may "
                            "be added, never renamed.");
  add_property(schema, "students", list_schema(student_schema(), "by name; takes without a student last"));
  return schema_text(schema);
}

}  // namespace firmus
