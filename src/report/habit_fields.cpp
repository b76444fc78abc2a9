#include <array>

#include "habits/group_names.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

constexpr std::optional<double> lower_end(const std::optional<std::pair<double, double>>& interval) {
  return interval ? std::optional(interval->first) : std::nullopt;
}
constexpr std::optional<double> upper_end(const std::optional<std::pair<double, double>>& interval) {
  return interval ? std::optional(interval->second) : std::nullopt;
}

/// Results of older versions lack the extremes: the mean is read in their place.
template <double HabitRow::*end>
void read_end(HabitRow& habit, const JsonIn& object, std::string_view key, const Format&, int) {
  habit.*end = number_in(object, key).value_or(habit.mean_cents);
}

/// Results of older versions do not tell: as if each note had been.
void read_out_of_tune(HabitRow& habit, const JsonIn& object, std::string_view key, const Format&, int) {
  habit.out_of_tune = integer_in(object, key, 0, any_int).value_or(habit.count);
}

// The lowest and the highest error are listed twice, since the orders of columns and of keys are both fixed and differ.
constexpr std::array habit_table{
    member<&HabitRow::decision>(both(
        "decision", "",
        "chronic (chance does not explain it), leaning (not sure yet: check by ear), within_tolerance (as chronic, "
        "but every note is in tune: no fault), or empty: only counted")),
    member<&HabitRow::group>(
        both("group", "",
             "what the notes have in common: interval, place, degree, note, approach, line, length or register; or "
             "substitution: another note was sung in their place"),
        {.names = &names_of<habits::Family>}),
    member<&HabitRow::name>(
        both("name", "", "which one, such as M6; of a substitution C#5>C5, the written note and the one sung")),
    member<&HabitRow::direction>(both("direction", "", "up, down or same, where the group has one")),
    member<&HabitRow::count>(both("count", "", "judged notes in the group"), {.minimum = 1}),
    member<&HabitRow::same_way>(both("same_way", "", "how many of them are off the same way as their mean"),
                                at_least_0()),
    member<&HabitRow::mean_cents>(
        both("mean_cents", "cents", "mean error of these very notes, against the singer's own pitch"), cents_format),
    member<&HabitRow::lowest_cents>({"lowest_cents", "", "cents", "lowest error in the group"}, cents_format),
    member<&HabitRow::highest_cents>({"highest_cents", "", "cents", "highest error in the group"}, cents_format),
    member<&HabitRow::ci95_cents>(key_only("ci95_cents", "cents", "95 % interval of mean_cents"), cents_format),
    computed<HabitRow>({"ci95_low_cents", "", "cents", "its lower end"}, cents_format,
                       [](const HabitRow& habit) { return lower_end(habit.ci95_cents); }),
    computed<HabitRow>({"ci95_high_cents", "", "cents", "its upper end"}, cents_format,
                       [](const HabitRow& habit) { return upper_end(habit.ci95_cents); }),
    member<&HabitRow::contrast_cents>(
        key_only("contrast_cents", "cents", "how far the group is off against the rest of the take: what was tested"),
        cents_format),
    member<&HabitRow::contrast_ci95_cents>(key_only("contrast_ci95_cents", "cents", "95 % interval of contrast_cents"),
                                           cents_format),
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
    read_by(member<&HabitRow::out_of_tune>(
                both("out_of_tune", "", "how many of the notes are sharp or flat by more than the tolerance"),
                at_least_0()),
            read_out_of_tune),
    member<&HabitRow::contrast_cents>(
        {"contrast_cents", "", "cents", "how far the group is off against the rest of the take: what was tested"},
        cents_format),
    computed<HabitRow>({"contrast_low_cents", "", "cents", "lower end of its 95 % interval"}, cents_format,
                       [](const HabitRow& habit) { return lower_end(habit.contrast_ci95_cents); }),
    computed<HabitRow>({"contrast_high_cents", "", "cents", "its upper end"}, cents_format,
                       [](const HabitRow& habit) { return upper_end(habit.contrast_ci95_cents); }),
};

}  // namespace

std::span<const Field<HabitRow>> habit_fields() {
  return habit_table;
}

}  // namespace firmus::report
