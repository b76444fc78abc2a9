// The fields of a gradebook, in the order of the JSON and of the tables.
#include <array>

#include "report/mark_words.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

constexpr Format percent_format{.decimals = 1};
constexpr Format points_format{.decimals = 4, .trimmed = true};

constexpr std::array mark_grade_table{
    member<&MarkBreakdown::written>(both("written", "", "")),
    member<&MarkBreakdown::judged>(both("judged", "", "")),
    member<&MarkBreakdown::in_band>(key_only(in_band_key)),
    member<&MarkBreakdown::beyond>(both("beyond", "", "")),
    member<&MarkBreakdown::other_note>(both("other_note", "", "")),
    member<&MarkBreakdown::missing>(both("missing", "", "")),
    member<&MarkBreakdown::extra>(both("extra", "", "")),
    member<&MarkBreakdown::unclear>(both("unclear", "", "")),
    member<&MarkBreakdown::points>(both("points", "points", ""), points_format),
    member<&MarkBreakdown::possible>(both("possible", "points", ""), points_format),
    member<&MarkBreakdown::percent>(key_only("percent", "%"), percent_format),
    member<&MarkBreakdown::most_in_a_row>(both("most_in_a_row", "", "")),
    member<&MarkBreakdown::in_tune_share>(key_only("in_tune_share", "share"), share_format),
};

/// None (null, an empty cell) for an empty text.
std::optional<std::string> or_none(std::string text) {
  return text.empty() ? std::nullopt : std::optional(std::move(text));
}

constexpr std::array take_grade_table{
    member<&TakeGrade::stem>(key_only("take")),
    member<&TakeGrade::status>(key_only("status")),
    computed<TakeGrade>(key_only("why"), {}, [](const TakeGrade& take) { return or_none(why_words(take.no_mark)); }),
    computed<TakeGrade>(key_only("advice"), {},
                        [](const TakeGrade& take) { return or_none(advice_words(take.no_mark)); }),
    member<&TakeGrade::counts>(key_only("counts")),
    member<&TakeGrade::full>(key_only("full")),
};

constexpr std::array piece_grade_table{
    member<&PieceGrade::piece>(key_only("piece")),
    member<&PieceGrade::status>(key_only("status")),
    computed<PieceGrade>(key_only("why"), {},
                         [](const PieceGrade& piece) { return or_none(why_words(piece.no_mark)); }),
    member<&PieceGrade::mark_percent>(key_only("mark_percent", "%"), percent_format),
    member<&PieceGrade::teacher_percent>(key_only("teacher_percent", "%"), percent_format),
    computed<PieceGrade>(key_only("final_percent", "%"), percent_format,
                         [](const PieceGrade& piece) { return piece.final_percent(); }),
    member<&PieceGrade::teacher_reasons>(key_only("teacher_reasons")),
};

std::string all_reasons(const StudentGrade& student) {
  std::string text;
  for (const PieceGrade& piece : student.pieces)
    for (const std::string& reason : piece.teacher_reasons) {
      if (!text.empty()) text += "; ";
      if (student.pieces.size() > 1) text += piece.piece + ": ";
      text += reason;
    }
  return text;
}

constexpr std::array student_grade_table{
    member<&StudentGrade::student>(both("student", "", "")),
    member<&StudentGrade::status>(both("status", "", "")),
    computed<StudentGrade>(both("why", "", ""), {},
                           [](const StudentGrade& student) { return or_none(why_words(student)); }),
    member<&StudentGrade::mark_percent>(both("mark_percent", "%", ""), percent_format),
    member<&StudentGrade::teacher_percent>(both("teacher_percent", "%", ""), percent_format),
    computed<StudentGrade>(both("final_percent", "%", ""), percent_format,
                           [](const StudentGrade& student) { return student.final_percent(); }),
    member<&StudentGrade::passed>(both("passed", "", "")),
    computed<StudentGrade>({"teacher_reason", "", "", ""}, {},
                           [](const StudentGrade& student) { return all_reasons(student); }),
    computed<StudentGrade>({"pieces", "", "", ""}, {},
                           [](const StudentGrade& student) { return static_cast<int>(student.pieces.size()); }),
    member<&StudentGrade::pieces_marked>(both("pieces_marked", "", "")),
    member<&StudentGrade::points>(both("points", "points", ""), points_format),
    member<&StudentGrade::possible>(both("possible", "points", ""), points_format),
    member<&StudentGrade::most_in_a_row>(both("most_in_a_row", "", "")),
    member<&StudentGrade::standing>(both("standing", "", "")),
};

}  // namespace

std::span<const Field<MarkBreakdown>> mark_fields() {
  return mark_grade_table;
}
std::span<const Field<TakeGrade>> take_grade_fields() {
  return take_grade_table;
}
std::span<const Field<PieceGrade>> piece_grade_fields() {
  return piece_grade_table;
}
std::span<const Field<StudentGrade>> student_grade_fields(Standings standings) {
  return std::span(student_grade_table).first(student_grade_table.size() - (standings == Standings::shown ? 0 : 1));
}

}  // namespace firmus::report
