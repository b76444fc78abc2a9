#include "told_rows.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "forward_selection.hpp"
#include "group_names.hpp"

namespace firmus::habits {
namespace {

void take_decision_from(HabitRow& row) {
  row.decision.reset();
  row.required_more.reset();
}

bool notes_agree(const HabitRow& row) {
  return std::fabs(row.mean_cents) >= smallest_habit_cents && row.mean_cents * row.contrast_cents.value_or(0) > 0 &&
         2 * row.same_way >= row.count;
}

void check_against_notes(HabitRow& row) {
  if (!row.decision) return;
  const bool in_tune = row.out_of_tune == 0;
  if (!notes_agree(row) || (in_tune && row.decision == HabitDecision::leaning)) {
    take_decision_from(row);
  } else if (in_tune) {
    row.decision = HabitDecision::within_tolerance;
  }
}

void limit_partitions(std::vector<SharedHabit>& rows) {
  std::map<std::string, int> told;
  for (SharedHabit& habit : rows)
    if (habit.row.decision && is_partition(habit.row.group) && ++told[habit.row.group] > most_told_of_a_partition)
      take_decision_from(habit.row);
}

bool is_before(const SharedHabit& a, const SharedHabit& b) {
  if (a.row.decision && b.row.decision) return *a.row.decision < *b.row.decision;
  if (a.row.decision || b.row.decision) return a.row.decision.has_value();
  return std::fabs(a.row.mean_cents) > std::fabs(b.row.mean_cents);
}

}  // namespace

bool is_partition(std::string_view family) {
  return family == to_string(Family::registers) || family == to_string(Family::approach) ||
         family == to_string(Family::line) || family == to_string(Family::length);
}

void keep_what_is_told(std::vector<SharedHabit>& rows) {
  for (SharedHabit& habit : rows) check_against_notes(habit.row);
  limit_partitions(rows);
  std::erase_if(rows, [](const SharedHabit& habit) {
    return !habit.row.decision && habit.row.group != to_string(Family::interval);
  });
  std::stable_sort(rows.begin(), rows.end(), is_before);
}

}  // namespace firmus::habits
