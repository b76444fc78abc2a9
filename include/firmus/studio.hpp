// An assignment and its gradebook: the takes handed in, what each mark is made of, and what a student and a class
// should work on. Plain data and pure functions: the readers take text, and the stage `batch` opens the files.
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

/// A note gets the points of the first band for which its absolute error minus its standard error is at most
/// `within_cents`.
struct Band {
  double within_cents = 0, points = 0;
  friend bool operator==(const Band&, const Band&) = default;
};

/// How a mark is made. Defaults are those of the file format. `missing`, `extra` and `other_note` are costs, 0 or less.
struct Rubric {
  std::vector<Band> bands{{25, 1}, {50, 0.5}};  ///< never empty; cents increase, points do not
  double missing = 0, extra = 0, other_note = 0;
  double least_judged_share = 0.6;     ///< of the written notes, 0 to 1; below it a take needs a listen
  std::optional<double> pass_percent;  ///< 0 to 100; none: no student passes or fails
  bool round_points = false;           ///< reports show points and the longest run in tune
  bool round_standings = false;        ///< the class report also shows the ranks
  double most_points() const { return bands.front().points; }
};

/// Which of several takes of one piece by one student determines the mark. `best` and `mean` use marked takes; without
/// one they select as `last_full` does.
enum class TriesRule {
  last_full,  ///< the last with 80 % of the written notes; without one the last that could be measured
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
  std::optional<std::string> match;       ///< pattern of file names; none: the default of Matching
  double weight = 1;                      ///< above 0
  std::optional<Reference> reference;     ///< none: that of the command line or the default
  std::optional<double> tolerance_cents;  ///< likewise
  LineChoice line{};                      ///< the line of the score that is its melody
  std::optional<BarRange> bars{};         ///< the passage that is expected; none: the whole melody
};

/// An assignment as its file gives it. Paths are unchanged, relative to the folder of that file.
struct Assignment {
  std::string title;
  std::optional<std::string> date, takes_path, roster_path, rubric_path, overrides_path;
  std::vector<Piece> pieces;
  Rubric rubric;
  TriesRule attempts = TriesRule::last_full;
};

/// A mark by the teacher, which replaces the program's: without `index` the percentage of a piece (0 to 100), with
/// `index` the points of one written note.
struct Override {
  std::string student, piece;
  std::optional<int> index;
  double mark = 0;
  std::string reason;
};

/// The readers. `file` is the name shown in problems. They throw InputError with all problems found, such as unknown or
/// repeated keys, wrong types and values out of range, each with its line and column where it has one.
Assignment read_assignment(std::string_view json, const std::string& file);
Rubric read_rubric(std::string_view json, const std::string& file);
/// The ids of the column `student`, else `name` (in any case), else of the only column, in order; other columns are
/// ignored. Ids must differ in more than case.
std::vector<std::string> read_roster(std::string_view csv, const std::string& file);
/// For each student of the roster, in order, what its column `email` or `e-mail` holds; all empty where there is none.
/// The text is one that read_roster takes.
std::vector<std::string> read_addresses(std::string_view csv, const std::string& file);
/// Students and pieces must be among those given; rows with neither mark nor reason are left out; the column `piece` is
/// optional when there is one piece. `most_points`
/// is the upper limit for the points of a note.
std::vector<Override> read_overrides(std::string_view csv, const std::string& file,
                                     const std::vector<std::string>& students, const std::vector<Piece>& pieces,
                                     double most_points);

/// Why `text` is not a valid id, as words after "it"; empty when it is valid. An id has 1 to 64 bytes of UTF-8 without
/// control characters and without / \ : * ? " < > |, does not begin with a dot, and is not the name of a file or folder
/// that every assignment writes.
std::string fault_of_id(std::string_view text);
/// Whether `text` is a valid calendar date, YYYY-MM-DD.
bool is_date(std::string_view text);

/// Of a take, of a piece or of a student.
enum class GradeStatus { marked, needs_a_listen, not_measured, not_handed_in };
constexpr auto enum_names(GradeStatus) {
  using enum GradeStatus;
  return std::to_array<EnumName<GradeStatus>>({{marked, "marked"},
                                               {needs_a_listen, "needs a listen"},
                                               {not_measured, "could not be measured"},
                                               {not_handed_in, "not handed in"}});
}

/// What a mark is made of: counts of notes of one take, from its table of notes alone. Grace notes and notes that may
/// be left out are not counted, sung or not. A note with points from the teacher enters only `written`, `points`,
/// `possible` and runs.
struct MarkBreakdown {
  int written = 0, judged = 0;
  std::vector<int> in_band;  ///< judged notes in each band of the rubric
  int beyond = 0;            ///< judged notes whose error exceeds the last band: no points
  int other_note = 0, missing = 0, unclear = 0;
  int extra = 0;                    ///< of at least 120 ms, with onset between the first and the last written note sung
  double points = 0, possible = 0;  ///< possible: most points of a note, times judged, missing and teacher-marked notes
  std::optional<double> percent;    ///< 100 * points / possible, limited to 0 to 100; none when `possible` is 0
  int most_in_a_row = 0;            ///< longest run of notes in tune; an unclear note does not end a run
  std::optional<double> in_tune_share;  ///< of the judged notes, 0 to 1; none without one
};

/// Why a take that was handed in has no mark by the program.
struct NoMark {
  enum class Reason {
    not_measured,     ///< see Result::error
    other_melody,     ///< AlignmentDecision::not_this_melody
    doubtful_melody,  ///< AlignmentDecision::listen
    too_few_judged,   ///< a smaller share of the written notes than the rubric's `least_judged_share`
    key_in_doubt      ///< whether the singer changed key moves the mark by more than 5 points
  };
  Reason reason = Reason::not_measured;
  std::string kind, detail, advice;  ///< for not_measured: those of Result::error
  double alignment_confidence = 0;   ///< for other_melody and doubtful_melody, 0 to 1
  int judged = 0, written = 0;       ///< for too_few_judged: numbers of notes
  /// For key_in_doubt: the marks if the key changed and if it did not, and the bar where another key begins
  /// if it changed (none without bars).
  double percent_if_changed = 0, percent_if_not = 0;
  std::optional<int> changed_at_bar;
};

struct TakeGrade {
  int take_number = 1;  ///< of this student and piece, from 1, in the order of MatchedTake::number
  std::string stem;     ///< of its result files: results/STEM.json and others
  GradeStatus status = GradeStatus::not_measured;
  std::optional<NoMark> no_mark;           ///< set exactly when it is not marked
  bool full = false;                       ///< at least 80 % of the written notes were found
  bool counts = false;                     ///< it determines the mark of its piece
  MarkBreakdown made;                      ///< counts are 0 when not measured
  MarkBreakdown by_teacher;                ///< the same, including points that the teacher gave to single notes
  std::vector<PitchChange> pitch_changes;  ///< changes of key, and drift beyond the tolerance
};

/// Result of a piece that is a drill, on the notes that it practises.
struct PieceDrill {
  bool done = false;
  std::optional<double> mean_cents;  ///< mean error of the judged notes; none without one
};

struct PieceGrade {
  std::string piece;
  GradeStatus status = GradeStatus::not_handed_in;
  std::optional<NoMark> no_mark;  ///< of the first take that counts
  std::vector<TakeGrade> takes;
  MarkBreakdown made;                     ///< of the take that counts; for the rule `mean`, sums over those takes
  std::optional<double> mark_percent;     ///< by the program; none when not marked
  std::optional<double> teacher_percent;  ///< by the teacher's overrides; none without one
  std::vector<std::string> teacher_reasons;
  /// Of the marked takes that count: the last done one, else the last one. None without such a take, and for a piece
  /// that is not a drill.
  std::optional<PieceDrill> drill;
  /// The teacher's mark replaces the program's; none when there is neither.
  std::optional<double> final_percent() const { return teacher_percent ? teacher_percent : mark_percent; }
};

struct StudentGrade {
  std::string student;
  GradeStatus status = GradeStatus::not_handed_in;
  std::optional<std::size_t> unsettled;  ///< index of the piece that keeps the student from a mark; none: no such piece
  std::vector<PieceGrade> pieces;        ///< one for each piece of the assignment, in order
  int pieces_marked = 0;                 ///< by the program or the teacher
  std::optional<double> mark_percent;    ///< weighted mean over pieces with a mark; none unless `status` is marked
  std::optional<double> teacher_percent;  ///< the same with the teacher's marks in place; none when there are none
  std::optional<bool> passed;             ///< none without pass_percent or without a mark
  double points = 0, possible = 0;        ///< sums over pieces with a mark; of several takes that count, the mean
  int most_in_a_row = 0;
  std::optional<int> standing;  ///< rank by points, from 1; ties share a rank; none unless the rubric asks for ranks
  std::optional<double> final_percent() const { return teacher_percent ? teacher_percent : mark_percent; }
};

struct PieceFacts {
  std::string id, title;
  double weight = 1;
  std::optional<DrillAim> drill = {};  ///< the fault it practises; none when it is not a drill
};

struct Gradebook {
  std::string title;
  std::optional<std::string> date;
  std::vector<PieceFacts> pieces;
  Rubric rubric;
  TriesRule attempts = TriesRule::last_full;
  std::vector<StudentGrade> students;  ///< in the order of the roster; without a roster sorted by id
};

/// A chronic habit that more than half of the takes share, with the notes where it occurs.
struct ClassHabit {
  struct Place {
    std::size_t piece = 0;
    std::vector<int> indices;  ///< of written notes of the piece
  };
  HabitRow row;
  int takes = 0, takes_same_way = 0;  ///< takes with judged notes of the group; of these, off in its direction
  std::vector<Place> places;
};

/// A file of the takes folder that is not used as a take.
struct Unmatched {
  enum class Reason {
    no_student,
    several_students,
    no_piece,
    several_pieces,
    no_student_or_piece,  ///< by a pattern, with a roster
    not_the_pattern,
    no_id
  };
  std::string name;  ///< as found; may be personal: only for the folder private/, the class page and standard error
  Reason reason = Reason::not_the_pattern;
  std::vector<std::string> pieces;  ///< for several_pieces and several_students: their ids
  std::string id_fault;             ///< for no_id: the text of fault_of_id
};

}  // namespace firmus
