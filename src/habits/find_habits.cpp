#include <algorithm>

#include "base/statistics.hpp"
#include "classify.hpp"
#include "firmus/habits.hpp"
#include "grouped_takes.hpp"
#include "mean_error.hpp"
#include "one_take_model.hpp"
#include "substitutions.hpp"
#include "told_rows.hpp"

namespace firmus::habits {
namespace {

/// Written notes of the group, in `row.indices` too where there is one melody.
void fill_places(SharedHabit& habit, const Group& group, const GroupedTakes& grouped) {
  for (std::size_t t = 0; t < grouped.takes.size(); ++t)
    for (const std::size_t k : group.members[t])
      habit.places.push_back({grouped.first_take[grouped.takes[t].melody], grouped.takes[t].notes[k].index});
  std::sort(habit.places.begin(), habit.places.end(), [](const HabitPlace& a, const HabitPlace& b) {
    return a.take != b.take ? a.take < b.take : a.index < b.index;
  });
  habit.places.erase(std::unique(habit.places.begin(), habit.places.end()), habit.places.end());
  if (grouped.melodies.size() == 1)
    for (const HabitPlace& place : habit.places) habit.row.indices.push_back(place.index);
}

std::vector<JudgedNote> notes_of(const Group& group, const GroupedTakes& grouped) {
  std::vector<JudgedNote> notes;
  for (std::size_t t = 0; t < grouped.takes.size(); ++t)
    for (const std::size_t k : group.members[t]) notes.push_back(grouped.takes[t].notes[k]);
  return notes;
}

/// Mean error of the very notes with its interval, their counts and range.
void fill_sizes(HabitRow& row, const std::vector<JudgedNote>& notes, std::span<const std::vector<double>> by_take) {
  row.count = static_cast<int>(notes.size());
  double sum = 0;
  for (const JudgedNote& note : notes) sum += note.cents;
  row.mean_cents = sum / row.count;
  if (const auto mean = mean_error(by_take); mean && row.p) row.ci95_cents = mean->ci95;
  const auto [lowest, highest] = std::minmax_element(
      notes.begin(), notes.end(), [](const JudgedNote& a, const JudgedNote& b) { return a.cents < b.cents; });
  row.lowest_cents = lowest->cents;
  row.highest_cents = highest->cents;
  for (const JudgedNote& note : notes) {
    row.same_way += note.cents * row.mean_cents > 0 ? 1 : 0;
    row.out_of_tune += note.out_of_tune ? 1 : 0;
  }
}

void fill_takes(SharedHabit& habit, const Group& group, const GroupedTakes& grouped, std::size_t takes_given) {
  habit.cents_by_take.resize(takes_given);
  const auto errors = errors_by_take(group, grouped);
  for (std::size_t t = 0; t < grouped.takes.size(); ++t) {
    if (errors[t].empty()) continue;
    const double mean = mean_and_sd(errors[t]).mean;
    habit.cents_by_take[grouped.source[t]] = mean;
    ++habit.takes;
    habit.takes_same_way += mean * habit.row.mean_cents > 0 ? 1 : 0;
  }
}

std::vector<SharedHabit> shared_habits(std::vector<HabitReport> reports, const GroupedTakes& grouped,
                                       std::size_t takes_given) {
  for (HabitReport& rest : report_untested(grouped.groups)) reports.push_back(std::move(rest));
  std::vector<SharedHabit> rows;
  for (HabitReport& one : reports) {
    SharedHabit habit;
    habit.row = std::move(one.row);
    const Group& group = grouped.groups[one.group];
    fill_places(habit, group, grouped);
    fill_sizes(habit.row, notes_of(group, grouped), errors_by_take(group, grouped));
    fill_takes(habit, group, grouped, takes_given);
    rows.push_back(std::move(habit));
  }
  keep_what_is_told(rows);
  return rows;
}

std::vector<SharedHabit> habits_of_one_take(const GroupedTakes& grouped, std::size_t takes_given) {
  if (grouped.tested_groups.empty()) return shared_habits({}, grouped, takes_given);
  const TakeNotes& take = grouped.takes.front();
  const OneTakeModel model(take_series(take, 0, grouped.names[take.melody].size(), 0, grouped.groups).series);
  return shared_habits(classify(model, grouped.groups, grouped.tested_groups), grouped, takes_given);
}

std::vector<SharedHabit> habits_of_several_takes(const GroupedTakes& grouped, std::size_t takes_given) {
  if (grouped.tested_groups.empty()) return shared_habits({}, grouped, takes_given);
  return shared_habits(classify(several_takes_model(grouped), grouped.groups, grouped.tested_groups), grouped,
                       takes_given);
}

}  // namespace
}  // namespace firmus::habits

namespace firmus {

std::vector<HabitRow> find_habits(const HabitTake& take) {
  std::vector<SharedHabit> found = habits::find_substitutions(std::span(&take, 1));
  const habits::GroupedTakes grouped = habits::group_takes(std::span(&take, 1), 1);
  if (!grouped.takes.empty())
    for (SharedHabit& habit : habits::habits_of_one_take(grouped, 1)) found.push_back(std::move(habit));
  std::vector<HabitRow> rows;
  for (SharedHabit& habit : found) rows.push_back(std::move(habit.row));
  return rows;
}

std::vector<SharedHabit> find_shared_habits(std::span<const HabitTake> takes) {
  std::vector<SharedHabit> found = habits::find_substitutions(takes);
  const habits::GroupedTakes grouped = habits::group_takes(takes, habits::min_judged_notes);
  if (grouped.takes.empty()) return found;
  for (SharedHabit& habit : grouped.takes.size() == 1 ? habits::habits_of_one_take(grouped, takes.size())
                                                      : habits::habits_of_several_takes(grouped, takes.size()))
    found.push_back(std::move(habit));
  return found;
}

}  // namespace firmus
