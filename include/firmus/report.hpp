// Reports on a take, an assignment and a trend, as text, CSV and JSON. For each kind of row one ordered table of fields
// defines the CSV columns and the JSON keys.
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

std::string notes_csv_header();  ///< ends with CRLF (RFC 4180)
/// One row for each note; for a take that was not measured one row with `take` and status `not_measured`.
std::string notes_csv_rows(const Result& result);
std::string habits_csv(const Result& result);  ///< header and rows

/// The meaning and unit of the columns and keys of notes and habits: Markdown, made from the tables of fields.
std::string field_reference();

enum class Colour { never, ansi };

/// The text summary, 78 columns wide. `next_command` is shown on the last line, which is not wrapped; empty: no such
/// line.
std::string as_text(const Result& result, Colour colour, std::string_view next_command);

/// One take in the report of a student.
struct ReportedTake {
  std::string piece, piece_title;  ///< id; title, may be empty
  const TakeGrade* grade = nullptr;
  const Result* result = nullptr;  ///< as read from its file: `f0_track_hz` is empty
  std::string picture;             ///< SVG of results/STEM.svg; empty when there is none
};

/// Content of the report to a student, in words for a twelve-year-old, without data about other students.
struct StudentReport {
  const Gradebook* book = nullptr;  ///< title, date, pieces and rubric are used, its students are not
  const StudentGrade* grade = nullptr;
  /// Of each piece without a mark by the program, in its order: what the student should do, or the teacher's mark.
  std::vector<std::string> to_do, by_teacher;
  std::string strength;              ///< one sentence; empty when no take that counts is marked
  std::vector<std::string> work_on;  ///< at most two
  std::vector<ReportedTake> takes;   ///< takes that count come first
};

/// The report points into `takes`, `grade` and `book`, which must outlive it. `melodies`: one for each piece of the
/// book. `picture` of each take is left empty.
StudentReport report_student(const StudentTakes& takes, const StudentGrade& grade, const Gradebook& book,
                             std::span<const Melody> melodies);

struct ClassReport {
  const Gradebook* book = nullptr;
  std::vector<ClassHabit> habits;    ///< the most significant first
  std::vector<Unmatched> unmatched;  ///< files that are not used as a take
  std::span<const Melody> melodies;  ///< one for each piece of the book
};

std::string student_text(const StudentReport& report);  ///< ID.txt, 78 columns
std::string class_text(const ClassReport& report);      ///< class.txt, 78 columns

std::string gradebook_csv(const Gradebook& book);    ///< one row per student
std::string marks_csv(const Gradebook& book);        ///< one row per take, or per piece without a take
std::string gradebook_json(const Gradebook& book);   ///< the whole gradebook; schema firmus.gradebook/1
std::string failures_csv(const Gradebook& book);     ///< takes that could not be measured or need a listen
std::string unmatched_words(const Unmatched& file);  ///< why a file is not used as a take

/// The text report, at most 78 columns wide. For several students it begins with a table of them.
std::string trend_as_text(const Trend& trend, Colour colour);
std::string trend_as_json(const Trend& trend);  ///< schema firmus.trend/1, one line without a line break at its end
std::string trend_json_schema();                ///< the JSON Schema of that object
/// One row per point: `student,date,weeks,takes,judged,...`.
std::string trend_points_csv(const Trend& trend);
std::string trend_habits_csv(const Trend& trend);  ///< one row per habit
/// One row per drill and date; without dates per take.
std::string trend_drills_csv(const Trend& trend);

}  // namespace firmus
