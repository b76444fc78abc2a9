#include <array>

#include "fields.hpp"
#include "firmus/report.hpp"

namespace firmus::report {
namespace {

Cell decision_of(const HabitRow& habit) {
  if (!habit.decision) return {};
  return std::string(to_string(*habit.decision));
}

Cell bound_of(const HabitRow& habit, double std::pair<double, double>::*bound) {
  return habit.ci95_cents ? Cell(Number{(*habit.ci95_cents).*bound, cents_decimals}) : Cell();
}

Cell interval_of(const HabitRow& habit) {
  if (!habit.ci95_cents) return {};
  return std::pair(Number{habit.ci95_cents->first, cents_decimals}, Number{habit.ci95_cents->second, cents_decimals});
}

using F = Field<HabitRowOf>;
using R = const HabitRowOf&;
constexpr std::array fields{
    F{"take", "", "", "name of the take", [](R r) { return Cell(r.result.take.name); }},
    F{"decision", "decision", "",
      "chronic (chance does not explain it), leaning (not sure yet: check by ear), or empty: only counted",
      [](R r) { return decision_of(r.habit); }},
    F{"group", "group", "",
      "what the notes have in common: interval, place, degree, note, approach, line, length or register",
      [](R r) { return Cell(r.habit.group); }},
    F{"name", "name", "", "which one, such as M6", [](R r) { return Cell(r.habit.name); }},
    F{"direction", "direction", "", "up, down or same, where the group has one",
      [](R r) { return r.habit.direction ? Cell(std::string(to_string(*r.habit.direction))) : Cell(); }},
    F{"count", "count", "", "judged notes in the group", [](R r) { return Cell(r.habit.count); }},
    F{"same_way", "same_way", "", "how many of them are off the same way as their mean",
      [](R r) { return Cell(r.habit.same_way); }},
    F{"mean_cents", "mean_cents", "cents",
      "how far the group is off against the rest of the take; where it has no p, its mean error",
      [](R r) {
        return Cell(Number{r.habit.mean_cents, cents_decimals});
      }},
    F{"lowest_cents", "", "cents", "lowest error in the group",
      [](R r) {
        return Cell(Number{r.habit.lowest_cents, cents_decimals});
      }},
    F{"highest_cents", "", "cents", "highest error in the group",
      [](R r) {
        return Cell(Number{r.habit.highest_cents, cents_decimals});
      }},
    F{"", "ci95_cents", "cents", "95 % interval of mean_cents", [](R r) { return interval_of(r.habit); }},
    F{"ci95_low_cents", "", "cents", "its lower end",
      [](R r) { return bound_of(r.habit, &std::pair<double, double>::first); }},
    F{"ci95_high_cents", "", "cents", "its upper end",
      [](R r) { return bound_of(r.habit, &std::pair<double, double>::second); }},
    F{"p", "p", "", "how often chance alone would show as much", [](R r) { return cell_of(r.habit.p, p_decimals); }},
    F{"p_adjusted", "p_adjusted", "", "the same, for all that was looked at",
      [](R r) { return cell_of(r.habit.p_adjusted, p_decimals); }},
    F{"indices", "indices", "", "the written notes of the group", [](R r) { return Cell(r.habit.indices); }},
    F{"same_as", "same_as", "", "other names of the same notes", [](R r) { return Cell(r.habit.aliases); }},
    F{"", "lowest_cents", "cents", "lowest error in the group",
      [](R r) {
        return Cell(Number{r.habit.lowest_cents, cents_decimals});
      }},
    F{"", "highest_cents", "cents", "highest error in the group",
      [](R r) {
        return Cell(Number{r.habit.highest_cents, cents_decimals});
      }},
    F{"could_be", "could_be", "", "other groups that could as well be what is off",
      [](R r) { return Cell(r.habit.confounders); }},
    F{"more_needed", "more_needed", "",
      "leaning: how many more such notes would settle it, if it is as large as it looks",
      [](R r) { return cell_of(r.habit.required_more); }},
    F{"shown_from_cents", "shown_from_cents", "cents",
      "a tendency of this size would have been found nine times in ten",
      [](R r) { return cell_of(r.habit.minimum_detectable_cents, cents_decimals); }},
};

}  // namespace

std::span<const Field<HabitRowOf>> habit_fields() {
  return fields;
}

}  // namespace firmus::report
