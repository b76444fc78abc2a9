#include "studio/mark_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "report/practice_words.hpp"
#include "report/words.hpp"

namespace firmus {
namespace {

/// One decimal at most.
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
  return percent ? figure(*percent) + " %" : "";
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
  cost(rubric.other_note, "another note");
  return fmt::format("{}", fmt::join(parts, ", "));
}

std::string made_words(const Rubric& rubric, const MarkBreakdown& made) {
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < made.in_band.size() && i < rubric.bands.size(); ++i)
    if (made.in_band[i] > 0)
      parts.push_back(
          fmt::format("{} within {:g} cents", report::counted(made.in_band[i], "note"), rubric.bands[i].within_cents));
  const auto add = [&](int count, const char* what) {
    if (count > 0) parts.push_back(fmt::format("{} {}", count, what));
  };
  add(made.beyond, "further off");
  add(made.other_note, made.other_note == 1 ? "another note" : "other notes");
  add(made.missing, "missing");
  add(made.extra, "not written");
  add(made.unclear, "not judged (they cost nothing)");
  const std::string got = points_words(made.points, made.possible) + " points";
  return parts.empty() ? got : fmt::format("{}: {}", got, fmt::join(parts, ", "));
}

std::string drill_count_words(const Gradebook& book, std::size_t piece) {
  const auto done = std::count_if(book.students.begin(), book.students.end(), [&](const StudentGrade& student) {
    return student.pieces[piece].drill && student.pieces[piece].drill->done;
  });
  return fmt::format("{}: done by {} of {}", report::aim_in_words(*book.pieces[piece].drill), done,
                     report::counted(static_cast<int>(book.students.size()), "student"));
}

std::string drill_state_words(const PieceGrade& piece) {
  if (!piece.drill) return std::string(to_string(piece.status));
  const std::string state = piece.drill->done ? "done" : "not yet";
  return piece.drill->mean_cents ? state + ", " + report::cents_off(*piece.drill->mean_cents) : state;
}

std::string no_mark_words(GradeStatus status, const std::string& why) {
  const std::string because = why.empty() ? "." : ": " + why;
  switch (status) {
    case GradeStatus::marked:
      return {};
    case GradeStatus::needs_a_listen:
      return "Your teacher will listen to it first" + because;
    case GradeStatus::not_measured:
      return "It could not be measured" + because;
    case GradeStatus::not_handed_in:
      return "Nothing was handed in yet.";
  }
  return {};
}

}  // namespace firmus
