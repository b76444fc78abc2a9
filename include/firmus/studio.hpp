// A whole assignment: who handed in what, what each mark was made of, what a student and a class should work on. Plain
// data and pure functions; the readers take text, and only `cli` opens files.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/error.hpp"
#include "firmus/habits.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// Notes up to `within_cents` off (their standard error taken off) get `points`.
struct Band {
  double within_cents = 0, points = 0;
  friend bool operator==(const Band&, const Band&) = default;
};

/// How a mark is made; the defaults of its members are those of the format. Costs are 0 or less.
struct Rubric {
  std::vector<Band> bands{{25, 1}, {50, 0.5}};  ///< cents rise, points fall
  double missing = 0, extra = 0, other_note = 0;
  double least_judged_share = 0.6;     ///< below it a take needs a listen
  std::optional<double> pass_percent;  ///< none: nobody is said to have passed
  bool round_points = false;           ///< pages tell points and the most in a row
  bool round_standings = false;        ///< and the order of the class
  double most_points() const { return bands.front().points; }
};

/// Which of several takes of one piece by one student makes the mark.
enum class TriesRule {
  last_full,  ///< the last one that holds 80 % of the notes; without one the last that could be measured
  best,
  mean
};
constexpr auto enum_names(TriesRule) {
  using enum TriesRule;
  return std::to_array<EnumName<TriesRule>>({{last_full, "last_full"}, {best, "best"}, {mean, "mean"}});
}

struct Piece {
  std::string id;
  std::string melody_path;
  std::optional<std::string> match;
  double weight = 1;
  std::optional<Reference> reference;
  std::optional<double> tolerance_cents;
};

/// An assignment as written; paths as they stand there, relative to its file.
struct Assignment {
  std::string title;
  std::optional<std::string> date, takes_path, roster_path, rubric_path, overrides_path;
  std::vector<Piece> pieces;
  Rubric rubric;
  TriesRule attempts = TriesRule::last_full;
};

/// A mark that the teacher gives over the program's: without `index` the percentage of a piece, with it the points of
/// one written note.
struct Override {
  std::string student, piece;
  std::optional<int> index;
  double mark = 0;
  std::string reason;
};

/// The readers. `file` is the name that problems show. Throw InputError: unknown or repeated keys, wrong types, values
/// out of range, each with its line and column.
Assignment read_assignment(std::string_view json, const std::string& file);
Rubric read_rubric(std::string_view json, const std::string& file);
/// The ids of the column `student`, in order. No other column is looked at.
std::vector<std::string> read_roster(std::string_view csv, const std::string& file);
/// Students and pieces must be among those given; with one piece its column may be left out.
std::vector<Override> read_overrides(std::string_view csv, const std::string& file,
                                     const std::vector<std::string>& students, const std::vector<Piece>& pieces,
                                     double most_points);

/// Why `text` cannot be an id (1 to 64 bytes of UTF-8, no control characters, none of / \ : * ? " < > |, no dot at the
/// start; not the name of a file that every assignment writes); empty when it can.
std::string fault_of_id(std::string_view text);
/// A day of the calendar, YYYY-MM-DD.
bool is_date(std::string_view text);

enum class GradeStatus { marked, needs_a_listen, not_measured, not_handed_in };
/// "marked" "needs a listen" "could not be measured" "not handed in"
constexpr auto enum_names(GradeStatus) {
  using enum GradeStatus;
  return std::to_array<EnumName<GradeStatus>>({{marked, "marked"},
                                               {needs_a_listen, "needs a listen"},
                                               {not_measured, "could not be measured"},
                                               {not_handed_in, "not handed in"}});
}

/// What a mark is made of: counts of written notes of one take, from its table of notes alone. Grace notes and notes
/// left out that may be count nowhere.
struct MarkBreakdown {
  int written = 0, judged = 0;
  std::vector<int> in_band;  ///< one for each band of the rubric
  int beyond = 0;            ///< off by more than the last band: no points
  int other_note = 0, missing = 0, unclear = 0;
  int extra = 0;                        ///< of 120 ms or more, between the first and the last written note sung
  double points = 0, possible = 0;      ///< possible: the most points a note can get for each judged or missing one
  std::optional<double> percent;        ///< points of possible, 0 to 100; none when nothing is possible
  int most_in_a_row = 0;                ///< notes in tune one after another; what cannot be judged ends no run
  std::optional<double> in_tune_share;  ///< of the judged notes
};

/// Why a take that was handed in gets no mark by the program.
struct NoMark {
  enum class Reason {
    not_measured,     ///< the Result says why
    other_melody,     ///< not the melody of its piece
    doubtful_melody,  ///< may not be the melody
    too_few_judged    ///< a smaller share of the written notes than the rubric's `least_judged_share`
  };
  Reason reason = Reason::not_measured;
  std::string detail, advice;       ///< of not_measured: the Result's
  double alignment_confidence = 0;  ///< of the two that doubt the melody
  int judged = 0, written = 0;      ///< of too_few_judged
};

struct TakeGrade {
  int take_number = 1;  ///< of this student and piece, from 1, in the order of tries
  std::string stem;     ///< its files are results/STEM.json and so on
  GradeStatus status = GradeStatus::not_measured;
  std::optional<NoMark> no_mark;  ///< set where it is not marked
  bool full = false;              ///< holds 80 % of the written notes
  bool counts = false;
  MarkBreakdown made;        ///< all zero when not measured
  MarkBreakdown by_teacher;  ///< the same with the points that the teacher gave to single notes
};

/// How a take of a piece that is a drill did on the notes that it is about.
struct PieceDrill {
  bool done = false;
  std::optional<double> mean_cents;  ///< of the judged ones
};

struct PieceGrade {
  std::string piece;
  GradeStatus status = GradeStatus::not_handed_in;
  std::optional<NoMark> no_mark;  ///< of the take that counts
  std::vector<TakeGrade> takes;
  MarkBreakdown made;                     ///< of the take that counts; of several (mean), their sums
  std::optional<double> mark_percent;     ///< the program's
  std::optional<double> teacher_percent;  ///< the teacher's, from the overrides
  std::vector<std::string> teacher_reasons;
  /// Of the marked takes that count: one that is done, else the last. None for a piece that is no drill.
  std::optional<PieceDrill> drill;
  /// The teacher's judgement stands over the program's.
  std::optional<double> final_percent() const { return teacher_percent ? teacher_percent : mark_percent; }
};

struct StudentGrade {
  std::string student;
  GradeStatus status = GradeStatus::not_handed_in;
  std::optional<std::size_t> unsettled;   ///< the piece that keeps the student from a mark
  std::vector<PieceGrade> pieces;         ///< one for each piece of the assignment, in order
  int pieces_marked = 0;                  ///< by the program or the teacher
  std::optional<double> mark_percent;     ///< weighted over the marked pieces; none while something handed in is not
  std::optional<double> teacher_percent;  ///< the same with the teacher's marks, where there are any
  std::optional<bool> passed;             ///< none without pass_percent or without a mark
  double points = 0, possible = 0;
  int most_in_a_row = 0;
  std::optional<int> standing;  ///< 1 is the most points; equal points share one; none unless asked for
  std::optional<double> final_percent() const { return teacher_percent ? teacher_percent : mark_percent; }
};

struct PieceFacts {
  std::string id, title;
  double weight = 1;
  std::optional<DrillAim> drill = {};  ///< what it is a drill of
};

struct Gradebook {
  std::string title;
  std::optional<std::string> date;
  std::vector<PieceFacts> pieces;
  Rubric rubric;
  TriesRule attempts = TriesRule::last_full;
  std::vector<StudentGrade> students;  ///< in the order of the roster; without one by id
};

/// What most of the class misses, with where.
struct ClassHabit {
  struct Place {
    std::size_t piece = 0;
    std::vector<int> indices;  ///< of its written notes
  };
  HabitRow row;
  int takes = 0, takes_same_way = 0;
  std::vector<Place> places;
};

/// A file of the folder that is nobody's take.
struct Unmatched {
  enum class Reason { no_student_or_piece, not_the_pattern, several_pieces, no_id };
  std::string name;  ///< original: for private/ and standard error alone
  Reason reason = Reason::not_the_pattern;
  std::vector<std::string> pieces;  ///< of several_pieces: their ids
  std::string id_fault;             ///< of no_id: what fault_of_id says
};

}  // namespace firmus
