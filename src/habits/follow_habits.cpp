// Habits over time. They are found in all takes, in the earlier and in the later ones. The sizes told are the mean
// errors of the notes themselves. What is tested is the contrast with the rest of each take, from one regression of the
// take with all habits in it: the means of earlier and later takes are compared by a t-test whose variance is that
// within takes times a dispersion ratio, for how much takes differ anyway.
#include <algorithm>
#include <cmath>
#include <iterator>

#include "base/holm.hpp"
#include "base/statistics.hpp"
#include "base/student_t.hpp"
#include "forward_selection.hpp"
#include "grouped_takes.hpp"
#include "mean_error.hpp"
#include "substitutions.hpp"
#include "told_rows.hpp"

namespace firmus::habits {
namespace {

// Prior weight of the pooled dispersion, in takes. With 12, as for finding habits, more than 5 in 100 students who stay
// the same are said to change (simulation).
constexpr double prior_change_df = 6;
constexpr double change_alpha = 0.05;      // family-wise: any change reported of a student who stays the same
constexpr double same_notes_cosine = 0.5;  // from it on two habits are about the same notes

/// A chronic habit with its group in the model of all takes.
struct TrackedHabit {
  SharedHabit habit;
  std::size_t group = 0;
  bool in_earlier = false, in_later = false;  ///< chronic in an analysis of the earlier, of the later takes alone
  bool in_all = false;                        ///< chronic in the analysis of all takes
};

bool has_name(const Group& group, const HabitRow& row) {
  const auto is = [&](const GroupName& name) {
    return to_string(name.family) == row.group && name.name == row.name && name.direction == row.direction;
  };
  return is(group.name) || std::any_of(group.aliases.begin(), group.aliases.end(), is);
}

std::optional<std::size_t> group_of(const GroupedTakes& grouped, const HabitRow& row) {
  for (std::size_t g = 0; g < grouped.tested_groups.size(); ++g)
    if (has_name(grouped.groups[grouped.tested_groups[g]], row)) return g;
  return std::nullopt;
}

/// Adds the chronic habits of `rows` with the flag `when`; one that is tracked already only gets the flag.
void add_chronic(std::vector<TrackedHabit>& tracked, std::vector<SharedHabit> rows, const GroupedTakes& grouped,
                 const SeveralTakesModel& model, bool TrackedHabit::*when) {
  for (SharedHabit& habit : rows) {
    if (habit.row.decision != HabitDecision::chronic) continue;
    const auto group = group_of(grouped, habit.row);
    if (!group) continue;
    const auto of_family = std::count_if(tracked.begin(), tracked.end(), [&](const TrackedHabit& other) {
      return other.habit.row.group == habit.row.group;
    });
    const auto known = std::find_if(tracked.begin(), tracked.end(), [&](const TrackedHabit& other) {
      return other.group == *group || std::fabs(model.cosine(*group, other.group)) >= same_notes_cosine;
    });
    if (known != tracked.end()) {
      (*known).*when = true;
      continue;
    }
    if (is_partition(habit.row.group) && of_family >= most_told_of_a_partition) continue;
    tracked.push_back({std::move(habit), *group});
    tracked.back().*when = true;
  }
}

/// Mean over one part of the takes. With a single take the between-take variance is unknown: ratio 1 is assumed.
std::optional<TakeMean> mean_of_part(const std::vector<TakeEffect>& effects) {
  if (effects.empty()) return std::nullopt;
  if (effects.size() == 1) return TakeMean{effects[0].cents, effects[0].variance, effects[0].variance, 1};
  return mean_of_takes(effects);
}

/// Dispersion ratio of a habit, averaged over the parts by degrees of freedom and shrunk towards the pooled one.
struct ShrunkDispersion {
  double ratio = 1, df = prior_change_df;
};
ShrunkDispersion shrunk_dispersion(std::initializer_list<const TakeMean*> parts, double pooled_dispersion) {
  double sum = prior_change_df * pooled_dispersion, df = prior_change_df;
  for (const TakeMean* part : parts) {
    const double part_df = static_cast<double>(part->takes) - 1;
    sum += part_df * dispersion_ratio(*part);
    df += part_df;
  }
  return {std::max(1.0, sum / df), df};
}

/// p of the difference between the contrasts of the two parts (the habit against the rest of each take, so that a take
/// that lies higher as a whole shows no change); none where a part has none.
std::optional<double> p_of_change(const std::optional<TakeMean>& earlier, const std::optional<TakeMean>& later,
                                  double pooled_dispersion) {
  if (!earlier || !later) return std::nullopt;
  const ShrunkDispersion dispersion = shrunk_dispersion({&*earlier, &*later}, pooled_dispersion);
  const double variance = (earlier->within_variance + later->within_variance) * dispersion.ratio;
  return two_sided_p((later->mean - earlier->mean) / std::sqrt(variance), dispersion.df);
}

/// Mean errors of the notes themselves in the two parts, and their difference.
void add_sizes(HabitChange& change, const std::vector<std::vector<double>>& earlier,
               const std::vector<std::vector<double>>& later) {
  change.earlier = mean_error(earlier);
  change.later = mean_error(later);
  if (!change.earlier || !change.later) return;
  const auto half_width = [](const EstimateWithCi& size) { return (size.ci95.second - size.ci95.first) / 2; };
  const double difference = change.later->cents - change.earlier->cents;
  const double half = std::hypot(half_width(*change.earlier), half_width(*change.later));
  change.change = EstimateWithCi{difference, {difference - half, difference + half}};
}

/// Half of change_alpha is spent on the tests of change (see `adjust`): it covers habits selected over all takes, where
/// the selection does not depend on when they occur. A habit selected in one part only is more likely to show a change
/// by that selection; it must be significant in its part at the other half of alpha, divided by the two parts.
bool is_comparable(const TrackedHabit& tracked) {
  constexpr int parts = 2;
  return tracked.in_all || tracked.habit.row.p_adjusted.value_or(1) <= change_alpha / 2 / parts;
}

/// Holm's adjustment over all changes, each p doubled: they are tested at half of change_alpha.
void adjust(std::vector<HabitChange>& changes) {
  std::vector<double> p;
  for (const HabitChange& change : changes)
    if (change.p) p.push_back(2 * *change.p);
  auto adjusted = holm_adjusted(p);
  auto next = adjusted.begin();
  for (HabitChange& change : changes)
    if (change.p) change.p_adjusted = *next++;
}

bool contains_zero(const EstimateWithCi& estimate) {
  return estimate.ci95.first <= 0 && estimate.ci95.second >= 0;
}
/// Too small for a habit, or not significantly different from 0.
bool is_none(const EstimateWithCi& estimate) {
  return std::fabs(estimate.cents) < smallest_habit_cents || contains_zero(estimate);
}

HabitTrend status_of(const HabitChange& change, const TrackedHabit& tracked) {
  const bool significant = is_comparable(tracked) && change.change && change.p_adjusted.value_or(1) <= change_alpha;
  const bool still_shows = tracked.in_later || !change.later || !is_none(*change.later);
  if (!significant)
    return still_shows && (tracked.in_later || tracked.in_all) ? HabitTrend::stays : HabitTrend::uncertain;
  const double earlier = change.earlier->cents, later = change.later->cents;
  if (is_none(*change.earlier)) return HabitTrend::appeared;
  if (std::fabs(later) < smallest_habit_cents && contains_zero(*change.later)) return HabitTrend::gone;
  if (earlier * later < 0) return HabitTrend::reversed;
  return std::fabs(later) < std::fabs(earlier) ? HabitTrend::better : HabitTrend::worse;
}

/// Pooled dispersion ratio for a group: the mean over the groups of its family or over all groups, whichever is larger
/// (single intervals may differ between takes while a register, which averages many of them, does not). At least 1.
double pooled_dispersion_for(const std::vector<std::optional<double>>& ratios, const GroupedTakes& grouped,
                             std::size_t group) {
  const auto family = [&](std::size_t g) { return grouped.groups[grouped.tested_groups[g]].name.family; };
  double sum = 0, count = 0, family_sum = 0, family_count = 0;
  for (std::size_t g = 0; g < ratios.size(); ++g) {
    if (!ratios[g]) continue;
    sum += *ratios[g], ++count;
    if (family(g) == family(group)) family_sum += *ratios[g], ++family_count;
  }
  return std::max({1.0, count > 0 ? sum / count : 1, family_count > 0 ? family_sum / family_count : 1});
}

HabitChange change_of(const TrackedHabit& tracked, const SeveralTakesModel& model,
                      std::span<const std::size_t> selected, const GroupedTakes& grouped, std::size_t takes_given,
                      std::size_t earlier) {
  HabitChange change;
  change.habit = tracked.habit;
  change.cents_by_take.resize(takes_given);
  std::vector<std::vector<double>> earlier_errors, later_errors;
  std::vector<TakeEffect> earlier_effects, later_effects;
  const auto errors = errors_by_take(grouped.groups[grouped.tested_groups[tracked.group]], grouped);
  const auto effects = model.effects_by_take(selected, tracked.group);
  for (std::size_t t = 0; t < errors.size(); ++t) {
    const bool is_earlier = grouped.source[t] < earlier;
    if (effects[t]) (is_earlier ? earlier_effects : later_effects).push_back(*effects[t]);
    if (errors[t].empty()) continue;
    change.cents_by_take[grouped.source[t]] = mean_and_sd(errors[t]).mean;
    (is_earlier ? earlier_errors : later_errors).push_back(errors[t]);
  }
  if (earlier == 0) return change;
  add_sizes(change, earlier_errors, later_errors);
  const auto then = mean_of_part(earlier_effects), now = mean_of_part(later_effects);
  change.p = p_of_change(then, now, pooled_dispersion_for(model.dispersion_ratios(selected), grouped, tracked.group));
  // Where the notes moved the other way than the contrast, neither is told as a change.
  if (change.p && change.change && change.change->cents * (now->mean - then->mean) <= 0) change.p = 1;
  return change;
}

std::vector<TrackedHabit> tracked_habits(std::span<const HabitTake> takes, std::size_t earlier,
                                         const GroupedTakes& grouped, const SeveralTakesModel& model) {
  std::vector<TrackedHabit> tracked;
  add_chronic(tracked, find_shared_habits(takes), grouped, model, &TrackedHabit::in_all);
  if (earlier == 0) return tracked;
  add_chronic(tracked, find_shared_habits(takes.subspan(earlier)), grouped, model, &TrackedHabit::in_later);
  add_chronic(tracked, find_shared_habits(takes.first(earlier)), grouped, model, &TrackedHabit::in_earlier);
  return tracked;
}

/// Substitutions are counted, not tested: told as gone where the later takes have the written note at least twice and
/// never as the other one, as new where this holds of the earlier takes.
std::vector<HabitChange> substitution_changes(std::span<const HabitTake> takes, std::size_t earlier) {
  std::vector<HabitChange> changes;
  const auto parts = {takes, takes.subspan(earlier), takes.first(earlier)};
  for (const auto part : parts)
    for (SharedHabit& habit : find_substitutions(part)) {
      const bool known = std::any_of(changes.begin(), changes.end(),
                                     [&](const HabitChange& other) { return other.habit.row.name == habit.row.name; });
      if (known) continue;
      HabitChange change;
      change.cents_by_take.resize(takes.size());
      std::copy(habit.cents_by_take.begin(), habit.cents_by_take.end(),
                change.cents_by_take.begin() + (part.data() - takes.data()));
      change.habit = std::move(habit);
      changes.push_back(std::move(change));
    }
  if (earlier == 0 || earlier == takes.size()) return changes;
  for (HabitChange& change : changes) {
    const std::string& name = change.habit.row.name;
    const SubstitutionCount then = count_substitution(takes.first(earlier), name);
    const SubstitutionCount now = count_substitution(takes.subspan(earlier), name);
    if (now.times == 0) change.status = now.places >= 2 ? HabitTrend::gone : HabitTrend::uncertain;
    if (then.times == 0 && then.places >= 2) change.status = HabitTrend::appeared;
  }
  return changes;
}

/// With fewer than two usable takes there is nothing to compare.
std::vector<HabitChange> without_comparison(std::span<const HabitTake> takes) {
  std::vector<HabitChange> changes;
  for (SharedHabit& habit : find_shared_habits(takes)) {
    if (habit.row.decision != HabitDecision::chronic) continue;
    changes.push_back({std::move(habit), HabitTrend::stays, {}, {}, {}, {}, {}, {}});
    changes.back().cents_by_take = changes.back().habit.cents_by_take;
  }
  return changes;
}

}  // namespace
}  // namespace firmus::habits

namespace firmus {

std::vector<HabitChange> follow_habits(std::span<const HabitTake> takes, std::size_t earlier) {
  using namespace habits;
  const GroupedTakes grouped = group_takes(takes, min_judged_notes);
  if (grouped.takes.size() < 2 || grouped.tested_groups.empty()) return without_comparison(takes);
  std::vector<HabitChange> all = substitution_changes(takes, std::min(earlier, takes.size()));
  const SeveralTakesModel model = several_takes_model(grouped);
  const std::vector<TrackedHabit> tracked = tracked_habits(takes, std::min(earlier, takes.size()), grouped, model);
  std::vector<std::size_t> selected;
  for (const TrackedHabit& one : tracked) selected.push_back(one.group);
  std::vector<HabitChange> changes;
  for (const TrackedHabit& one : tracked)
    changes.push_back(change_of(one, model, selected, grouped, takes.size(), earlier));
  adjust(changes);
  for (std::size_t i = 0; i < changes.size(); ++i) changes[i].status = status_of(changes[i], tracked[i]);
  all.insert(all.end(), std::make_move_iterator(changes.begin()), std::make_move_iterator(changes.end()));
  return all;
}

}  // namespace firmus
