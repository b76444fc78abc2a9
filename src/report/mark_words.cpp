#include "report/mark_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "bar_words.hpp"
#include "pitch_change_words.hpp"
#include "report/practice_words.hpp"
#include "report/words.hpp"

namespace firmus::report {
namespace {

/// The value with at most one decimal: points are few, marks have one decimal everywhere.
std::string figure(double value) {
  std::string text = fmt::format("{:.1f}", value);
  if (text.ends_with(".0")) text.resize(text.size() - 2);
  return text == "-0" ? "0" : text;
}

std::string points(double value) {
  return figure(value) + (value == 1 || value == -1 ? " point" : " points");
}

}  // namespace

std::string percent_words(const std::optional<double>& percent) {
  return percent ? fmt::format("{:.1f} %", *percent + 0.0) : "";
}

std::string points_words(double got, double possible) {
  return fmt::format("{} of {}", figure(got), figure(possible));
}

std::string rubric_words(const Rubric& rubric) {
  std::vector<std::string> parts;
  for (const Band& band : rubric.bands)
    parts.push_back(fmt::format("{} for a note within {:g} cents", points(band.points), band.within_cents));
  const auto cost = [&](double value, const char* what) {
    if (value != 0) parts.push_back(fmt::format("{} for {}", points(value), what));
  };
  cost(rubric.missing, "a missing note");
  cost(rubric.extra, "a note that is not written");
  cost(rubric.other_note, "a wrong note");
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string made_words(const Rubric& rubric, const MarkBreakdown& made) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < made.in_band.size() && i < rubric.bands.size(); ++i)
    if (made.in_band[i] > 0)
      parts.push_back(
          fmt::format("{} within {:g} cents", counted(made.in_band[i], "note"), rubric.bands[i].within_cents));
  const auto add = [&](int count, const char* what) {
    if (count > 0) parts.push_back(fmt::format("{} {}", count, what));
  };
  add(made.beyond, "out of tune");
  add(made.other_note, made.other_note == 1 ? "wrong note" : "wrong notes");
  add(made.missing, "not heard");
  add(made.extra, "extra");
  add(made.unclear, "not judged (they cost nothing)");
  const std::string got = points_words(made.points, made.possible) + " points";
  return parts.empty() ? got : fmt::format("{}: {}", got, fmt::join(parts, ", "));
}

std::string drill_count_words(const Gradebook& book, std::size_t piece) {
  const auto done = std::count_if(book.students.begin(), book.students.end(), [&](const StudentGrade& student) {
    return student.pieces[piece].drill && student.pieces[piece].drill->done;
  });
  return fmt::format("{}: done by {} of {}", aim_in_words(*book.pieces[piece].drill), done,
                     counted(static_cast<int>(book.students.size()), "student"));
}

std::string drill_state_words(const PieceGrade& piece) {
  if (!piece.drill) return std::string(to_string(piece.status));
  const std::string state = piece.drill->done ? "done" : "not yet";
  return piece.drill->mean_cents ? state + ", " + cents_off(*piece.drill->mean_cents) : state;
}

std::string why_words(const std::optional<NoMark>& no_mark) {
  if (!no_mark) return {};
  switch (no_mark->reason) {
    case NoMark::Reason::not_measured:
      return no_mark->detail;
    case NoMark::Reason::other_melody:
      return fmt::format("it does not sound like this piece ({})", doubt_in_words(no_mark->alignment_confidence));
    case NoMark::Reason::doubtful_melody:
      return fmt::format("it may not be this piece ({})", doubt_in_words(no_mark->alignment_confidence));
    case NoMark::Reason::too_few_judged:
      return fmt::format("only {} of {} notes could be judged", no_mark->judged, no_mark->written);
    case NoMark::Reason::key_in_doubt:
      return fmt::format("the mark depends on the key: {} if it changed{}, {} if it did not",
                         percent_words(no_mark->percent_if_changed),
                         no_mark->changed_at_bar ? fmt::format(" at bar {}", *no_mark->changed_at_bar) : "",
                         percent_words(no_mark->percent_if_not));
  }
  return {};
}

std::string advice_words(const std::optional<NoMark>& no_mark) {
  if (!no_mark) return {};
  return no_mark->reason == NoMark::Reason::not_measured
             ? no_mark->advice
             : "listen to it; to give your own mark, add a line to the overrides";
}

std::string why_words(const StudentGrade& grade) {
  if (!grade.unsettled) return {};
  const PieceGrade& piece = grade.pieces[*grade.unsettled];
  const std::string why = why_words(piece.no_mark);
  return grade.pieces.size() > 1 ? piece.piece + ": " + why : why;
}

std::vector<std::string> class_pitch_changes_in_words(const ClassReport& of_class) {
  std::vector<std::string> lines;
  for (const StudentGrade& student : of_class.book->students)
    for (std::size_t piece = 0; piece < student.pieces.size(); ++piece)
      for (const TakeGrade& take : student.pieces[piece].takes) {
        if (!take.counts || take.pitch_changes.empty()) continue;
        const PlaceOfNote place = [&](int index) {
          return bars_in_words(of_class.melodies[piece], std::span(&index, 1));
        };
        const std::vector<std::string> sentences = pitch_changes_in_words(take.pitch_changes, place, SaidTo::teacher);
        const std::string of_piece = student.pieces.size() > 1 ? ", " + student.pieces[piece].piece : "";
        lines.push_back(fmt::format("{}{}: {}", student.student, of_piece, fmt::join(sentences, " ")));
      }
  return lines;
}

std::string class_habit_words(const ClassReport& of_class, const ClassHabit& habit) {
  const HabitRow& row = habit.row;
  const std::string what = is_substitution(row) ? group_in_words(row)
                                                : fmt::format("{} {} {}", group_in_words(row),
                                                              is_one(row) ? "is" : "are", cents_off(row.mean_cents));
  const std::string words =
      sentence_case(fmt::format("{} in {} of {}", what, habit.takes_same_way, counted(habit.takes, "recording")));
  std::vector<std::string> where;
  for (const ClassHabit::Place& place : habit.places) {
    const std::string bars = bars_in_words(of_class.melodies[place.piece], place.indices);
    where.push_back(of_class.book->pieces.size() > 1 ? of_class.book->pieces[place.piece].id + " " + bars : bars);
  }
  constexpr std::size_t most_pieces = 3;
  const bool more = where.size() > most_pieces;
  if (more) where.resize(most_pieces);
  return words + fmt::format(" ({}{})", fmt::join(where, "; "), more ? "; and in other pieces" : "");
}

}  // namespace firmus::report

namespace firmus {

std::string unmatched_words(const Unmatched& file) {
  switch (file.reason) {
    case Unmatched::Reason::no_student:
      return "its name contains no student of the roster";
    case Unmatched::Reason::several_students:
      return fmt::format("its name fits several students: {}", fmt::join(file.pieces, ", "));
    case Unmatched::Reason::no_piece:
      return "its name contains no piece";
    case Unmatched::Reason::no_student_or_piece:
      return "its name contains no student of the roster, or no piece";
    case Unmatched::Reason::not_the_pattern:
      return "it does not fit the pattern";
    case Unmatched::Reason::several_pieces:
      return fmt::format("it could be of several pieces: {}", fmt::join(file.pieces, ", "));
    case Unmatched::Reason::no_id:
      return "its name cannot be an id: it " + file.id_fault;
  }
  return {};
}

}  // namespace firmus
