// The work of an assignment, step by step: which file is whose take, how a take becomes a mark, marks a gradebook.
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
  int number = 1;        ///< of this student and piece, from 1: by {try}, then by name, figures by their value
  std::string stem;      ///< of its results: STUDENT, or STUDENT.PIECE; from the second take on with its number
  std::size_t file = 0;  ///< among the names given
};

struct Matched {
  std::vector<std::string> students;  ///< the roster; without one those found, by id
  std::vector<MatchedTake> takes;     ///< in the order of students, pieces and numbers
  std::vector<Unmatched> unmatched;   ///< in the order of the names
};

/// How files are told apart. A pattern has text, {student} once, {piece}, {try} and *, and stands for the whole name
/// without its extension; capitals do not matter. {student} is an id of the roster (any text without one), {piece} the
/// piece's own id, both at word boundaries; of several students the longest id counts.
struct Matching {
  std::optional<std::vector<std::string>> roster;
  std::vector<Piece> pieces;     ///< `match` as given; left out: {student}*, with several pieces {student}*{piece}*
  bool pieces_in_stems = false;  ///< as soon as pieces have names that somebody gave them
};

/// Throws InputError when two stems or ids differ in case only.
Matched match_takes(const std::vector<std::string>& names, const Matching& matching);
/// Throws InputError: no {student}, an unknown word in braces, a brace left open. `place` is where it was written.
void require_pattern(std::string_view pattern, const SourceLocation& place);

/// What the mark of a take is made of. `teacher`: points that stand over the program's, by written note.
struct TeacherPoints {
  int index = 0;
  double points = 0;
};
MarkBreakdown mark_breakdown(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher = {});

/// The grade of one take, alone.
TakeGrade grade_take(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher = {});

/// All takes of a student, `takes[piece]` in the order of their numbers.
struct StudentTakes {
  std::string student;
  struct OneTake {
    std::string stem;
    Result result;  ///< as read back
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
/// Fills `standing` of all, where the rubric asks for it.
void give_standings(std::vector<StudentGrade>& students);

/// Gathers what most of a class misses, few bytes a note.
class ClassHabits {
 public:
  /// `melodies[piece]` must outlive it. Of a large class students are taken evenly, so that time and memory are
  /// bounded.
  ClassHabits(std::span<const Melody> melodies, std::size_t students);
  /// In the order of the roster: the takes that count and are marked.
  void add(std::size_t student, const StudentTakes& takes, const StudentGrade& grade);
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

/// Which of `shards` parts, from 1, a student's takes of a piece belong to.
int shard_of(std::string_view student, std::string_view piece, int shards);

}  // namespace firmus
