// The gradebook as JSON, schema firmus.gradebook/1; keys in a fixed order, null where there is nothing.
#include "firmus/report.hpp"
#include "firmus/studio.hpp"
#include "report/cell.hpp"

namespace firmus {
namespace {

using report::Cell;
using report::Json;
using report::Number;

Json percent(const std::optional<double>& value) {
  return report::to_json(report::cell_of(value, 1));
}
Json share(const std::optional<double>& value) {
  return report::to_json(report::cell_of(value, 4));
}
Json number(double value) {
  return report::to_json(Number{value, 4});
}
Json text(std::string_view value) {
  return report::as_utf8(value);
}
Json text_or_null(std::string_view value) {
  return value.empty() ? Json() : text(value);
}
template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json();
}

Json rubric_of(const Rubric& rubric) {
  Json bands = Json::array();
  for (const Band& band : rubric.bands)
    bands.push_back(Json{{"within_cents", number(band.within_cents)}, {"points", number(band.points)}});
  return {{"bands", std::move(bands)},
          {"missing", number(rubric.missing)},
          {"extra", number(rubric.extra)},
          {"other_note", number(rubric.other_note)},
          {"least_judged_share", number(rubric.least_judged_share)},
          {"pass_percent", rubric.pass_percent ? number(*rubric.pass_percent) : Json()},
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
          {"points", number(made.points)},
          {"possible", number(made.possible)},
          {"percent", percent(made.percent)},
          {"most_in_a_row", made.most_in_a_row},
          {"in_tune_share", share(made.in_tune_share)}};
}

Json take_of(const TakeGrade& take) {
  return {{"take", text(take.stem)},
          {"status", std::string(to_string(take.status))},
          {"why", text_or_null(take.why)},
          {"advice", text_or_null(take.advice)},
          {"counts", take.counts},
          {"full", take.full},
          {"made_of", take.status == GradeStatus::not_measured ? Json() : made_of(take.made)}};
}

Json piece_of(const PieceGrade& piece) {
  Json takes = Json::array(), reasons = Json::array();
  for (const TakeGrade& take : piece.takes) takes.push_back(take_of(take));
  for (const std::string& reason : piece.teacher_reasons) reasons.push_back(text(reason));
  return {{"piece", text(piece.piece)},
          {"status", std::string(to_string(piece.status))},
          {"why", text_or_null(piece.why)},
          {"mark_percent", percent(piece.mark_percent)},
          {"teacher_percent", percent(piece.teacher_percent)},
          {"final_percent", percent(piece.final_percent())},
          {"teacher_reasons", std::move(reasons)},
          {"takes", std::move(takes)}};
}

Json student_of(const StudentGrade& student) {
  Json pieces = Json::array();
  for (const PieceGrade& piece : student.pieces) pieces.push_back(piece_of(piece));
  return {{"student", text(student.student)},
          {"status", std::string(to_string(student.status))},
          {"why", text_or_null(student.why)},
          {"mark_percent", percent(student.mark_percent)},
          {"teacher_percent", percent(student.teacher_percent)},
          {"final_percent", percent(student.final_percent())},
          {"passed", or_null(student.passed)},
          {"pieces_marked", student.pieces_marked},
          {"points", number(student.points)},
          {"possible", number(student.possible)},
          {"most_in_a_row", student.most_in_a_row},
          {"standing", or_null(student.standing)},
          {"pieces", std::move(pieces)}};
}

/// Everything but the students.
Json frame_of(const Gradebook& book) {
  Json pieces = Json::array();
  for (const PieceFacts& piece : book.pieces)
    pieces.push_back(Json{{"id", text(piece.id)}, {"title", text(piece.title)}, {"weight", number(piece.weight)}});
  return {{"schema", "firmus.gradebook/1"},
          {"program", {{"version", std::string(program_version())}}},
          {"title", text_or_null(book.title)},
          {"date", or_null(book.date)},
          {"pieces", std::move(pieces)},
          {"rubric", rubric_of(book.rubric)},
          {"tries", std::string(to_string(book.attempts))}};
}

}  // namespace

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
