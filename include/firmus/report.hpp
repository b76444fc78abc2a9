// What is shown to people and scripts: one take, an assignment and a trend, as text, CSV and JSON. One ordered table of
// fields feeds CSV header, JSON keys and text columns.
#pragma once
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/grading.hpp"
#include "firmus/result.hpp"
#include "firmus/studio.hpp"
#include "firmus/trend.hpp"

namespace firmus {

std::string_view program_version();

/// RFC 8259, schema firmus.take/1, keys in a fixed order, one line without a line break at its end.
std::string as_json(const Result& result);
/// The JSON Schema of that object.
std::string json_schema();

std::string notes_csv_header();  ///< with CRLF (RFC 4180)
/// One row for each note; for a take that was not measured one row with `take` and status `not_measured`.
std::string notes_csv_rows(const Result& result);
std::string habits_csv(const Result& result);  ///< header and rows

/// What every column and key means, with its unit: a Markdown table made from the table of fields.
std::string field_reference();

enum class Colour { never, ansi };

/// The summary for people, at most 78 columns wide. `next_command` is shown in the last line.
std::string as_text(const Result& result, Colour colour, std::string_view next_command);

/// One take as a page shows it.
struct ReportedTake {
  std::string piece, piece_title;
  const TakeGrade* grade = nullptr;
  const Result* result = nullptr;  ///< as read back from its file: no pitch line
  std::string picture;             ///< results/STEM.svg, empty when there is none
};

/// What a student is told: words for a twelve-year-old, nothing of others.
struct StudentReport {
  const Gradebook* book = nullptr;  ///< title, date, pieces, rubric; not for its students
  const StudentGrade* grade = nullptr;
  std::string strength;              ///< one sentence; empty when nothing was measured
  std::vector<std::string> work_on;  ///< two at most
  std::vector<ReportedTake> takes;   ///< those that count first
};

/// Points into `takes`, `grade` and `book`. `melodies`: one for each piece of the book.
StudentReport report_student(const StudentTakes& takes, const StudentGrade& grade, const Gradebook& book,
                             std::span<const Melody> melodies);

struct ClassReport {
  const Gradebook* book = nullptr;
  std::vector<ClassHabit> habits;    ///< the surest first
  int unmatched = 0;                 ///< files that match nobody
  std::span<const Melody> melodies;  ///< one for each piece of the book
};

std::string student_text(const StudentReport& report);  ///< ID.txt, 78 columns
std::string class_text(const ClassReport& report);      ///< class.txt, 78 columns

std::string gradebook_csv(const Gradebook& book);    ///< one row a student
std::string marks_csv(const Gradebook& book);        ///< one row a student and piece: what each mark was made of
std::string gradebook_json(const Gradebook& book);   ///< all of it; schema firmus.gradebook/1
std::string failures_csv(const Gradebook& book);     ///< takes that could not be measured or need a listen
std::string unmatched_words(const Unmatched& file);  ///< why a file is nobody's take

/// For people: at most 78 columns. A class begins with a table of its students.
std::string trend_as_text(const Trend& trend, Colour colour);
std::string trend_as_json(const Trend& trend);  ///< schema firmus.trend/1, one line without a line break at its end
std::string trend_json_schema();                ///< the JSON Schema of that object
/// One row a point: `student,date,takes,judged,in_tune_share,...`; and one row a habit.
std::string trend_points_csv(const Trend& trend);
std::string trend_habits_csv(const Trend& trend);
/// One row a drill and date.
std::string trend_drills_csv(const Trend& trend);

}  // namespace firmus
