// The steps of grading: file names are matched to students and pieces, takes get marks, marks make a gradebook.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/studio.hpp"

namespace firmus {

/// A file that is a student's take of a piece.
struct MatchedTake {
  std::string student;
  std::size_t piece = 0;
  int number = 1;  ///< of this student and piece, from 1: ordered by {try}, then by name with digits compared by value
  std::string stem;  ///< of its result files: STUDENT or STUDENT.PIECE; from the second take on with ".NUMBER" after it
  std::size_t file = 0;  ///< index in the names given
};

struct Matched {
  std::vector<std::string> students;  ///< the roster; without one the ids found, sorted
  std::vector<MatchedTake> takes;     ///< sorted by student (as above), piece and number
  std::vector<Unmatched> unmatched;   ///< in the order of the names
};

/// A row of private/whose.csv: the file of a student and piece, as the teacher says.
struct WhoseRow {
  std::string file, student, piece;
};

/// How file names are matched. Without a pattern names are found anywhere in the path, as whole words: case, accents,
/// Unicode composition and what separates the words do not count; one word of a name of several is enough where only
/// one student has it; of names within each other the longest is used; two beside each other are not guessed between.
/// A pattern consists of text, {student} once, {piece}, {try} (digits) and * (any text),
/// and must match the whole name of the file without its extension, ignoring case (ASCII). {student} matches an id of
/// the roster (any text without a roster), {piece} the id of the piece, both at word boundaries. If several ids match,
/// the longest is used.
struct Matching {
  std::optional<std::vector<std::string>> roster;
  /// Where one has a `match`, those without one have {student}*, or {student}*{piece}* when there are several.
  std::vector<Piece> pieces;
  bool pieces_in_stems = false;       ///< stems are STUDENT.PIECE: the user named the pieces
  std::vector<std::string> titles{};  ///< of the pieces, which may be named by them; may be shorter than `pieces`
  std::vector<WhoseRow> whose{};      ///< read first; students and pieces are known
};

/// `names` are paths relative to the folder of the takes, with '/' between folders.
/// Throws InputError when two takes would get the same stem, or two ids differ only in case, and for invalid patterns.
Matched match_takes(const std::vector<std::string>& names, const Matching& matching);
/// The filled rows of a table file,student,piece; rows without a student are left out. Throws InputError, with the
/// line, for a file that is not among `names`, a student or a piece that is not in `matching`, and two rows of one
/// file.
std::vector<WhoseRow> read_whose(std::string_view csv, const std::string& file, const std::vector<std::string>& names,
                                 const Matching& matching);
/// Throws InputError when the pattern has not exactly one {student}, has an unknown word in braces or an open brace, or
/// is longer than 256 bytes. `place` is its location in the input.
void require_pattern(std::string_view pattern, const SourceLocation& place);

/// Points that the teacher gives to a written note, in place of the program's.
struct TeacherPoints {
  int index = 0;
  double points = 0;
};
/// What the mark of a measured take is made of.
MarkBreakdown mark_breakdown(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher = {});

/// The grade of one take, measured or not. `take_number`, `stem` and `counts` keep their defaults.
TakeGrade grade_take(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher = {});

/// All takes of a student, `takes[piece]` in the order of their numbers.
struct StudentTakes {
  std::string student;
  struct OneTake {
    std::string stem;
    Result result;  ///< as read_result returns it
  };
  std::vector<std::vector<OneTake>> takes;
};
struct GradingRules {
  std::vector<Piece> pieces;
  Rubric rubric;
  TriesRule attempts = TriesRule::last_full;
  std::vector<Override> overrides;
};
StudentGrade grade_student(const StudentTakes& takes, const GradingRules& rules);
/// Fills `standing` of all marked students that have possible points. To be called when the rubric asks for ranks.
void give_standings(std::vector<StudentGrade>& students);

/// Collects the notes of a class, a few bytes per note, and finds the habits that most of it shares.
class ClassHabits {
 public:
  /// `melodies[piece]` must outlive this object; `students` is the size of the class. Above 120 students every n-th is
  /// used, so that time and memory are bounded.
  ClassHabits(std::span<const Melody> melodies, std::size_t students);
  /// To be called in the order of the roster; `student` is the position there. Uses one take a piece: the first that
  /// counts and is marked.
  void add(std::size_t student, const StudentTakes& takes, const StudentGrade& grade);
  /// At most 3; empty with fewer than 3 takes.
  std::vector<ClassHabit> found() const;

 private:
  struct Row {
    int index;
    NoteStatus status;
    std::optional<Verdict> verdict;
    std::optional<double> own_cents, se_cents;
  };
  struct OneTake {
    std::size_t piece;
    std::vector<Row> rows;
  };
  std::vector<ClassHabit::Place> places_of(const SharedHabit& habit) const;

  std::span<const Melody> melodies_;
  std::size_t step_;
  std::vector<OneTake> takes_;
};

/// The part, 1 to `shards`, to which the takes of a student and a piece belong; the same on every machine.
int shard_of(std::string_view student, std::string_view piece, int shards);

}  // namespace firmus
