#include <array>

#include "habits/group_names.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

constexpr std::optional<double> lower_end(const HabitRow& habit) {
  return habit.ci95_cents ? std::optional(habit.ci95_cents->first) : std::nullopt;
}
constexpr std::optional<double> upper_end(const HabitRow& habit) {
  return habit.ci95_cents ? std::optional(habit.ci95_cents->second) : std::nullopt;
}

/// Results of older versions lack the extremes: the mean is read in their place.
template <double HabitRow::*end>
void read_end(HabitRow& habit, const JsonIn& object, std::string_view key, const Format&, int) {
  habit.*end = number_in(object, key).value_or(habit.mean_cents);
}

// The lowest and the highest error are listed twice, since the orders of columns and of keys are both fixed and differ.
constexpr std::array habit_table{
    member<&HabitRow::decision>(
        both("decision", "",
             "chronic (chance does not explain it), leaning (not sure yet: check by ear), or empty: only counted")),
    member<&HabitRow::group>(
        both("group", "",
             "what the notes have in common: interval, place, degree, note, approach, line, length or register"),
        {.names = &names_of<habits::Family>}),
    member<&HabitRow::name>(both("name", "", "which one, such as M6")),
    member<&HabitRow::direction>(both("direction", "", "up, down or same, where the group has one")),
    member<&HabitRow::count>(both("count", "", "judged notes in the group"), {.minimum = 1}),
    member<&HabitRow::same_way>(both("same_way", "", "how many of them are off the same way as their mean"),
                                at_least_0()),
    member<&HabitRow::mean_cents>(
        both("mean_cents", "cents",
             "how far the group is off against the rest of the take; where it has no p, its mean error"),
        cents_format),
    member<&HabitRow::lowest_cents>({"lowest_cents", "", "cents", "lowest error in the group"}, cents_format),
    member<&HabitRow::highest_cents>({"highest_cents", "", "cents", "highest error in the group"}, cents_format),
    member<&HabitRow::ci95_cents>(key_only("ci95_cents", "cents", "95 % interval of mean_cents"), cents_format),
    computed<HabitRow>({"ci95_low_cents", "", "cents", "its lower end"}, cents_format,
                       [](const HabitRow& habit) { return lower_end(habit); }),
    computed<HabitRow>({"ci95_high_cents", "", "cents", "its upper end"}, cents_format,
                       [](const HabitRow& habit) { return upper_end(habit); }),
    member<&HabitRow::p>(both("p", "", "how often chance alone would show as much"), p_format),
    member<&HabitRow::p_adjusted>(both("p_adjusted", "", "the same, for all that was looked at"), p_format),
    member<&HabitRow::indices>(both("indices", "", "the written notes of the group"), index_format),
    member<&HabitRow::aliases>(both("same_as", "", "other names of the same notes")),
    read_by(
        member<&HabitRow::lowest_cents>(key_only("lowest_cents", "cents", "lowest error in the group"), cents_format),
        read_end<&HabitRow::lowest_cents>),
    read_by(member<&HabitRow::highest_cents>(key_only("highest_cents", "cents", "highest error in the group"),
                                             cents_format),
            read_end<&HabitRow::highest_cents>),
    member<&HabitRow::confounders>(both("could_be", "", "other groups that could as well be what is off")),
    member<&HabitRow::required_more>(
        both("more_needed", "", "leaning: how many more such notes would settle it, if it is as large as it looks"),
        {.minimum = 1}),
    member<&HabitRow::minimum_detectable_cents>(
        both("shown_from_cents", "cents", "a tendency of this size would have been found nine times in ten"),
        at_least_0(cents_decimals)),
};

}  // namespace

std::span<const Field<HabitRow>> habit_fields() {
  return habit_table;
}

}  // namespace firmus::report
