#include <algorithm>
#include <cmath>

#include "classify.hpp"
#include "firmus/habits.hpp"
#include "one_take_model.hpp"
#include "grouped_takes.hpp"

namespace firmus {
using namespace habits;
namespace {

double mean_of(const NamedTake& take, const Members& members) {
  double sum = 0;
  for (const std::size_t k : members) sum += take.notes[k].cents;
  return sum / static_cast<double>(members.size());
}

/// Counts, range and places: what the notes themselves say.
void fill_counts(SharedHabit& habit, const Group& group, const Sorted& sorted) {
  HabitRow& row = habit.row;
  std::vector<double> cents;
  for (std::size_t t = 0; t < sorted.takes.size(); ++t)
    for (const std::size_t k : group.members[t]) {
      const SungNote& note = sorted.takes[t].notes[k];
      cents.push_back(note.cents);
      habit.places.push_back({sorted.first_take[sorted.takes[t].melody], note.index});
    }
  std::sort(habit.places.begin(), habit.places.end(), [](const HabitPlace& a, const HabitPlace& b) {
    return a.take != b.take ? a.take < b.take : a.index < b.index;
  });
  habit.places.erase(std::unique(habit.places.begin(), habit.places.end()), habit.places.end());
  if (sorted.melodies.size() == 1)
    for (const HabitPlace& place : habit.places) row.indices.push_back(place.index);
  row.count = static_cast<int>(cents.size());
  if (!row.p) {  // only counted
    row.mean_cents = 0;
    for (const double value : cents) row.mean_cents += value / row.count;
  }
  const auto [lowest, highest] = std::minmax_element(cents.begin(), cents.end());
  row.lowest_cents = *lowest;
  row.highest_cents = *highest;
  row.same_way = static_cast<int>(
      std::count_if(cents.begin(), cents.end(), [&](double value) { return value * row.mean_cents > 0; }));
}

void fill_takes(SharedHabit& habit, const Group& group, const Sorted& sorted, std::size_t takes_given) {
  habit.cents_by_take.resize(takes_given);
  for (std::size_t t = 0; t < sorted.takes.size(); ++t) {
    if (group.members[t].empty()) continue;
    const double mean = mean_of(sorted.takes[t], group.members[t]);
    habit.cents_by_take[sorted.from[t]] = mean;
    ++habit.takes;
    habit.takes_same_way += mean * habit.row.mean_cents > 0 ? 1 : 0;
  }
}

/// Rows that are only counted stand furthest off first, whether looked at or too rare for it.
void order_counted(std::vector<SharedHabit>& rows) {
  const auto counted = std::find_if(rows.begin(), rows.end(), [](const auto& habit) { return !habit.row.decision; });
  std::stable_sort(counted, rows.end(), [](const SharedHabit& a, const SharedHabit& b) {
    return std::fabs(a.row.mean_cents) > std::fabs(b.row.mean_cents);
  });
}

std::vector<SharedHabit> filled(std::vector<Said> said, const Sorted& sorted, std::size_t takes_given) {
  for (Said& rest : count_the_rest(sorted.groups)) said.push_back(std::move(rest));
  std::vector<SharedHabit> rows;
  for (Said& one : said) {
    SharedHabit habit;
    habit.row = std::move(one.row);
    fill_counts(habit, sorted.groups[one.group], sorted);
    fill_takes(habit, sorted.groups[one.group], sorted, takes_given);
    rows.push_back(std::move(habit));
  }
  order_counted(rows);
  return rows;
}

std::vector<SharedHabit> over_one(const Sorted& sorted, std::size_t takes_given) {
  const NamedTake& take = sorted.takes.front();
  if (sorted.looked_at.empty()) return filled({}, sorted, takes_given);
  const TakeModel model(series_of(take, 0, sorted.names[take.melody].size(), 0, sorted.groups).series);
  return filled(decide(model, sorted.groups, sorted.looked_at), sorted, takes_given);
}

std::vector<SharedHabit> over_several(const Sorted& sorted, std::size_t takes_given) {
  if (sorted.looked_at.empty()) return filled({}, sorted, takes_given);
  return filled(decide(model_of(sorted), sorted.groups, sorted.looked_at), sorted, takes_given);
}

}  // namespace

std::vector<HabitRow> find_habits(const HabitTake& take) {
  const Sorted sorted = sort_takes(std::span(&take, 1), 1);
  if (sorted.takes.empty()) return {};
  std::vector<HabitRow> rows;
  for (SharedHabit& habit : over_one(sorted, 1)) rows.push_back(std::move(habit.row));
  return rows;
}

std::vector<SharedHabit> find_shared_habits(std::span<const HabitTake> takes) {
  const Sorted sorted = sort_takes(takes, fewest_judged);
  if (sorted.takes.empty()) return {};
  return sorted.takes.size() == 1 ? over_one(sorted, takes.size()) : over_several(sorted, takes.size());
}

}  // namespace firmus
