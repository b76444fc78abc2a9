#include "firmus/report.hpp"
#include "result_in.hpp"

namespace firmus::report {
namespace {

std::vector<std::string> names_in(const JsonIn& object, std::string_view key) {
  return list_in(object, key, [](const JsonIn& name) { return name.text(); });
}

}  // namespace

std::optional<std::pair<double, double>> interval_in(const JsonIn& object, std::string_view key) {
  const auto interval = object.find(key);
  if (!interval) return std::nullopt;
  if (interval->size() != 2) interval->reject("has not two numbers", "give the lower and the upper end");
  return std::pair(interval->item(0).number_or_nan(), interval->item(1).number_or_nan());
}

HabitRow habit_in(const JsonIn& habit, int written_notes) {
  HabitRow row;
  if (const auto decision = habit.find("decision")) row.decision = decision->one_of<HabitDecision>();
  row.group = habit.at("group").text();
  row.name = habit.at("name").text();
  row.direction = direction_in(habit);
  row.count = habit.at("count").integer(0, any_int);
  row.same_way = habit.at("same_way").integer(0, any_int);
  row.mean_cents = habit.at("mean_cents").number_or_nan();
  row.lowest_cents = number_in(habit, "lowest_cents").value_or(row.mean_cents);
  row.highest_cents = number_in(habit, "highest_cents").value_or(row.mean_cents);
  row.ci95_cents = interval_in(habit, "ci95_cents");
  row.p = number_in(habit, "p");
  row.p_adjusted = number_in(habit, "p_adjusted");
  row.indices = list_in(habit, "indices", [&](const JsonIn& index) { return index.integer(0, written_notes - 1); });
  row.aliases = names_in(habit, "same_as");
  row.confounders = names_in(habit, "could_be");
  row.required_more = integer_in(habit, "more_needed");
  row.minimum_detectable_cents = number_in(habit, "shown_from_cents");
  return row;
}

}  // namespace firmus::report
