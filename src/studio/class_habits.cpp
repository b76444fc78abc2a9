#include <algorithm>
#include <map>

#include "firmus/grading.hpp"

namespace firmus {
namespace {

constexpr std::size_t most_students = 120;  // every n-th of the roster: bounds time and memory
constexpr std::size_t most_told = 3;

bool of_most(const SharedHabit& habit) {
  return habit.row.decision == HabitDecision::chronic && 2 * habit.takes_same_way > habit.takes;
}

}  // namespace

ClassHabits::ClassHabits(std::span<const Melody> melodies, std::size_t students)
    : melodies_(melodies), step_(std::max<std::size_t>(1, (students + most_students - 1) / most_students)) {}

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
      break;  // one take per piece and student, so that no student counts twice
    }
  }
}

/// By piece, in the order of the takes: HabitPlace::take is the first take of its melody.
std::vector<ClassHabit::Place> ClassHabits::places_of(const SharedHabit& habit) const {
  std::map<std::size_t, std::vector<int>> by_take;
  for (const HabitPlace& place : habit.places) by_take[place.take].push_back(place.index);
  std::vector<ClassHabit::Place> places;
  for (auto& [take, indices] : by_take) places.push_back({takes_[take].piece, std::move(indices)});
  return places;
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
  constexpr std::size_t fewest_takes = 3;  // with two takes a majority is both
  if (takes.size() < fewest_takes) return {};
  std::vector<ClassHabit> told;
  for (const SharedHabit& habit : find_shared_habits(takes)) {
    if (!of_most(habit) || told.size() == most_told) continue;
    told.push_back({habit.row, habit.takes, habit.takes_same_way, places_of(habit)});
  }
  return told;
}

}  // namespace firmus
