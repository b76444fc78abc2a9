// The gradebook as JSON, schema firmus.gradebook/1; keys in a fixed order, null where there is nothing.
#include "firmus/report.hpp"
#include "json_values.hpp"
#include "report/cell.hpp"
#include "report/mark_words.hpp"

namespace firmus::report {
namespace {

Json percent_json(const std::optional<double>& value) {
  return to_json(cell_of(value, 1));
}
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

Json made_of(const MarkBreakdown& made) {
  return {{"written", made.written},
          {"judged", made.judged},
          {"in_band", made.in_band},
          {"beyond", made.beyond},
          {"other_note", made.other_note},
          {"missing", made.missing},
          {"extra", made.extra},
          {"unclear", made.unclear},
          {"points", points_json(made.points)},
          {"possible", points_json(made.possible)},
          {"percent", percent_json(made.percent)},
          {"most_in_a_row", made.most_in_a_row},
          {"in_tune_share", share_json(made.in_tune_share)}};
}

Json take_of(const TakeGrade& take) {
  return {{"take", name_json(take.stem)},
          {"status", std::string(to_string(take.status))},
          {"why", name_or_null(why_words(take.no_mark))},
          {"advice", name_or_null(advice_words(take.no_mark))},
          {"counts", take.counts},
          {"full", take.full},
          {"made_of", take.status == GradeStatus::not_measured ? Json() : made_of(take.made)}};
}

Json piece_of(const PieceGrade& piece) {
  Json takes = Json::array(), reasons = Json::array();
  for (const TakeGrade& take : piece.takes) takes.push_back(take_of(take));
  for (const std::string& reason : piece.teacher_reasons) reasons.push_back(name_json(reason));
  return {{"piece", name_json(piece.piece)},
          {"status", std::string(to_string(piece.status))},
          {"why", name_or_null(why_words(piece.no_mark))},
          {"mark_percent", percent_json(piece.mark_percent)},
          {"teacher_percent", percent_json(piece.teacher_percent)},
          {"final_percent", percent_json(piece.final_percent())},
          {"teacher_reasons", std::move(reasons)},
          {"takes", std::move(takes)}};
}

Json student_of(const StudentGrade& student) {
  Json pieces = Json::array();
  for (const PieceGrade& piece : student.pieces) pieces.push_back(piece_of(piece));
  return {{"student", name_json(student.student)},
          {"status", std::string(to_string(student.status))},
          {"why", name_or_null(why_words(student))},
          {"mark_percent", percent_json(student.mark_percent)},
          {"teacher_percent", percent_json(student.teacher_percent)},
          {"final_percent", percent_json(student.final_percent())},
          {"passed", or_null(student.passed)},
          {"pieces_marked", student.pieces_marked},
          {"points", points_json(student.points)},
          {"possible", points_json(student.possible)},
          {"most_in_a_row", student.most_in_a_row},
          {"standing", or_null(student.standing)},
          {"pieces", std::move(pieces)}};
}

/// Everything but the students.
Json frame_of(const Gradebook& book) {
  Json pieces = Json::array();
  for (const PieceFacts& piece : book.pieces)
    pieces.push_back(
        Json{{"id", name_json(piece.id)}, {"title", name_json(piece.title)}, {"weight", points_json(piece.weight)}});
  return {{"schema", "firmus.gradebook/1"},
          {"program", {{"version", std::string(program_version())}}},
          {"title", name_or_null(book.title)},
          {"date", or_null(book.date)},
          {"pieces", std::move(pieces)},
          {"rubric", rubric_of(book.rubric)},
          {"tries", std::string(to_string(book.attempts))}};
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

/// One line a student, so that a large class takes no tree of JSON in memory and a person can find a line.
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
