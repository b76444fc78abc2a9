#include <algorithm>
#include <cmath>

#include "classify.hpp"
#include "firmus/habits.hpp"
#include "grouped_takes.hpp"
#include "one_take_model.hpp"

namespace firmus::habits {
namespace {

double mean_of(const TakeNotes& take, const Members& members) {
  double sum = 0;
  for (const std::size_t k : members) sum += take.notes[k].cents;
  return sum / static_cast<double>(members.size());
}

/// Counts, range and written notes of the group.
void fill_counts(SharedHabit& habit, const Group& group, const GroupedTakes& grouped) {
  HabitRow& row = habit.row;
  std::vector<double> cents;
  for (std::size_t t = 0; t < grouped.takes.size(); ++t)
    for (const std::size_t k : group.members[t]) {
      const JudgedNote& note = grouped.takes[t].notes[k];
      cents.push_back(note.cents);
      habit.places.push_back({grouped.first_take[grouped.takes[t].melody], note.index});
    }
  std::sort(habit.places.begin(), habit.places.end(), [](const HabitPlace& a, const HabitPlace& b) {
    return a.take != b.take ? a.take < b.take : a.index < b.index;
  });
  habit.places.erase(std::unique(habit.places.begin(), habit.places.end()), habit.places.end());
  if (grouped.melodies.size() == 1)
    for (const HabitPlace& place : habit.places) row.indices.push_back(place.index);
  row.count = static_cast<int>(cents.size());
  if (!row.p) {  // not tested
    row.mean_cents = 0;
    for (const double value : cents) row.mean_cents += value / row.count;
  }
  const auto [lowest, highest] = std::minmax_element(cents.begin(), cents.end());
  row.lowest_cents = *lowest;
  row.highest_cents = *highest;
  row.same_way = static_cast<int>(
      std::count_if(cents.begin(), cents.end(), [&](double value) { return value * row.mean_cents > 0; }));
}

void fill_takes(SharedHabit& habit, const Group& group, const GroupedTakes& grouped, std::size_t takes_given) {
  habit.cents_by_take.resize(takes_given);
  for (std::size_t t = 0; t < grouped.takes.size(); ++t) {
    if (group.members[t].empty()) continue;
    const double mean = mean_of(grouped.takes[t], group.members[t]);
    habit.cents_by_take[grouped.source[t]] = mean;
    ++habit.takes;
    habit.takes_same_way += mean * habit.row.mean_cents > 0 ? 1 : 0;
  }
}

/// Rows without a decision by the size of their mean error, tested or not.
void order_counted(std::vector<SharedHabit>& rows) {
  const auto counted = std::find_if(rows.begin(), rows.end(), [](const auto& habit) { return !habit.row.decision; });
  std::stable_sort(counted, rows.end(), [](const SharedHabit& a, const SharedHabit& b) {
    return std::fabs(a.row.mean_cents) > std::fabs(b.row.mean_cents);
  });
}

std::vector<SharedHabit> shared_habits(std::vector<HabitReport> reports, const GroupedTakes& grouped,
                                       std::size_t takes_given) {
  for (HabitReport& rest : report_untested(grouped.groups)) reports.push_back(std::move(rest));
  std::vector<SharedHabit> rows;
  for (HabitReport& one : reports) {
    SharedHabit habit;
    habit.row = std::move(one.row);
    fill_counts(habit, grouped.groups[one.group], grouped);
    fill_takes(habit, grouped.groups[one.group], grouped, takes_given);
    rows.push_back(std::move(habit));
  }
  order_counted(rows);
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
  const habits::GroupedTakes grouped = habits::group_takes(std::span(&take, 1), 1);
  if (grouped.takes.empty()) return {};
  std::vector<HabitRow> rows;
  for (SharedHabit& habit : habits::habits_of_one_take(grouped, 1)) rows.push_back(std::move(habit.row));
  return rows;
}

std::vector<SharedHabit> find_shared_habits(std::span<const HabitTake> takes) {
  const habits::GroupedTakes grouped = habits::group_takes(takes, habits::min_judged_notes);
  if (grouped.takes.empty()) return {};
  return grouped.takes.size() == 1 ? habits::habits_of_one_take(grouped, takes.size())
                                   : habits::habits_of_several_takes(grouped, takes.size());
}

}  // namespace firmus
