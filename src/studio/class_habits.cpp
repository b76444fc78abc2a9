#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "firmus/grading.hpp"
#include "places.hpp"
#include "report/words.hpp"

namespace firmus {
namespace {

constexpr std::size_t most_students = 120;  // taken evenly from the roster: bounds time and memory
constexpr std::size_t most_told = 3;

bool of_most(const SharedHabit& habit) {
  return habit.row.decision == HabitDecision::chronic && 2 * habit.takes_same_way > habit.takes;
}

}  // namespace

ClassHabits::ClassHabits(std::span<const Melody> melodies, std::vector<PieceFacts> pieces, std::size_t students)
    : melodies_(melodies),
      pieces_(std::move(pieces)),
      step_(std::max<std::size_t>(1, (students + most_students - 1) / most_students)) {}

void ClassHabits::add(std::size_t student, const StudentTakes& takes, const StudentGrade& grade) {
  if (student % step_ != 0) return;
  for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece) {
    const auto& graded = grade.pieces[piece].takes;
    for (std::size_t i = 0; i < graded.size(); ++i) {
      if (!graded[i].counts || graded[i].status != GradeStatus::marked) continue;
      OneTake take{piece, {}};
      for (const NoteResult& note : takes.takes[piece][i].result.notes)
        if (note.index)
          take.rows.push_back({*note.index, note.status, note.verdict, note.errors.own_cents, note.se_cents});
      takes_.push_back(std::move(take));
      break;  // one take of a piece and student, so that nobody counts twice
    }
  }
}

std::vector<ClassHabit> ClassHabits::found() const {
  std::vector<std::vector<NoteResult>> notes;
  for (const OneTake& take : takes_) {
    notes.emplace_back();
    for (const Row& row : take.rows) {
      NoteResult note;
      note.index = row.index;
      note.status = row.status;
      note.verdict = row.verdict;
      note.errors.own_cents = row.own_cents;
      note.se_cents = row.se_cents;
      notes.back().push_back(std::move(note));
    }
  }
  std::vector<HabitTake> takes;
  for (std::size_t i = 0; i < takes_.size(); ++i) takes.push_back({&melodies_[takes_[i].piece], notes[i]});
  constexpr std::size_t fewest_takes = 3;  // of two nobody is most
  if (takes.size() < fewest_takes) return {};
  std::vector<ClassHabit> told;
  for (const SharedHabit& habit : find_shared_habits(takes)) {
    if (!of_most(habit) || told.size() == most_told) continue;
    told.push_back({habit.row, habit.takes, habit.takes_same_way, in_words(habit)});
  }
  return told;
}

/// "flat on rising major sixths: 27 cents, 18 of 22 takes (bars 3, 7)"
std::string ClassHabits::in_words(const SharedHabit& habit) const {
  const HabitRow& row = habit.row;
  std::string words = fmt::format("{} {} {}: {}, {} of {} takes", row.mean_cents < 0 ? "flat" : "sharp",
                                  row.group == "spot" ? "at" : "on", report::group_in_words(row),
                                  report::counted(static_cast<int>(std::lround(std::fabs(row.mean_cents))), "cent"),
                                  habit.takes_same_way, habit.takes);
  std::vector<std::string> where;
  std::set<std::size_t> first_takes;
  for (const HabitPlace& place : habit.places) first_takes.insert(place.take);
  for (const std::size_t take : first_takes) {
    const std::size_t piece = takes_[take].piece;
    const std::string places = studio::places_in_words(melodies_[piece], studio::indices_in(habit, take));
    where.push_back(pieces_.size() > 1 ? pieces_[piece].id + " " + places : places);
  }
  constexpr std::size_t most_pieces = 3;
  const bool more = where.size() > most_pieces;
  if (more) where.resize(most_pieces);
  return words + fmt::format(" ({}{})", fmt::join(where, "; "), more ? "; and in other pieces" : "");
}

}  // namespace firmus
