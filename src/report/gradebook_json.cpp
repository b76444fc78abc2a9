// The gradebook as JSON, schema firmus.gradebook/1; keys in a fixed order, null for absent values.
#include "json_fields.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

Json points_json(double value) {
  return to_json(Number{value, 4});
}
Json name_json(std::string_view value) {
  return as_utf8(value);
}
Json name_or_null(std::string_view value) {
  return value.empty() ? Json() : name_json(value);
}
Json rubric_of(const Rubric& rubric) {
  Json bands = Json::array();
  for (const Band& band : rubric.bands)
    bands.push_back(Json{{"within_cents", points_json(band.within_cents)}, {"points", points_json(band.points)}});
  return {{"bands", std::move(bands)},
          {"missing", points_json(rubric.missing)},
          {"extra", points_json(rubric.extra)},
          {"other_note", points_json(rubric.other_note)},
          {"least_judged_share", points_json(rubric.least_judged_share)},
          {"pass_percent", rubric.pass_percent ? points_json(*rubric.pass_percent) : Json()},
          {"round", {{"points", rubric.round_points}, {"standings", rubric.round_standings}}}};
}

Json take_of(const TakeGrade& take) {
  Json object = json_object(take_grade_fields(), take);
  object["made_of"] = take.status == GradeStatus::not_measured ? Json() : json_object(mark_fields(), take.made);
  return object;
}

Json piece_of(const PieceGrade& piece) {
  Json object = json_object(piece_grade_fields(), piece), takes = Json::array();
  for (const TakeGrade& take : piece.takes) takes.push_back(take_of(take));
  object["takes"] = std::move(takes);
  return object;
}

Json student_of(const StudentGrade& student) {
  Json object = json_object(student_grade_fields(), student), pieces = Json::array();
  for (const PieceGrade& piece : student.pieces) pieces.push_back(piece_of(piece));
  object["pieces"] = std::move(pieces);
  return object;
}

/// All keys but the students.
Json frame_of(const Gradebook& book) {
  Json pieces = Json::array();
  for (const PieceFacts& piece : book.pieces)
    pieces.push_back(
        Json{{"id", name_json(piece.id)}, {"title", name_json(piece.title)}, {"weight", points_json(piece.weight)}});
  return {{"schema", "firmus.gradebook/1"},
          {"program", {{"version", std::string(program_version())}}},
          {"title", name_or_null(book.title)},
          {"date", to_json(cell_of(book.date))},
          {"pieces", std::move(pieces)},
          {"rubric", rubric_of(book.rubric)},
          {"tries", std::string(to_string(book.attempts))}};
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

/// One line per student: only one student at a time is in memory as JSON, and a reader can find a line.
std::string gradebook_json(const Gradebook& book) {
  std::string json = frame_of(book).dump();
  json.pop_back();
  json += ",\"students\":[";
  for (std::size_t i = 0; i < book.students.size(); ++i) {
    json += i > 0 ? ",\n" : "\n";
    json += student_of(book.students[i]).dump();
  }
  return json + "\n]}\n";
}

}  // namespace firmus
