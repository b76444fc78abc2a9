// Habits over time. They are found in all takes, in the earlier and in the later ones; then the size of each in each
// take comes from one regression of the take with all of them in it. The means of earlier and later takes are compared
// by a t-test whose variance is that within takes times a dispersion ratio, for how much takes differ anyway.
#include <algorithm>
#include <cmath>

#include "base/holm.hpp"
#include "base/student_t.hpp"
#include "forward_selection.hpp"
#include "grouped_takes.hpp"

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
    const auto known = std::find_if(tracked.begin(), tracked.end(), [&](const TrackedHabit& other) {
      return other.group == *group || std::fabs(model.cosine(*group, other.group)) >= same_notes_cosine;
    });
    if (known != tracked.end()) {
      (*known).*when = true;
      continue;
    }
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

EstimateWithCi with_interval(double cents, double se, double df) {
  const double half = t_quantile(0.975, df) * se;
  return {cents, {cents - half, cents + half}};
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

void compare(HabitChange& change, const std::optional<TakeMean>& earlier, const std::optional<TakeMean>& later,
             double pooled_dispersion) {
  if (!earlier || !later) {
    const auto& only = earlier ? earlier : later;
    if (!only) return;
    const ShrunkDispersion dispersion = shrunk_dispersion({&*only}, pooled_dispersion);
    (earlier ? change.earlier : change.later) =
        with_interval(only->mean, std::sqrt(only->within_variance * dispersion.ratio), dispersion.df);
    return;
  }
  const ShrunkDispersion dispersion = shrunk_dispersion({&*earlier, &*later}, pooled_dispersion);
  const auto estimate = [&](double cents, double within_variance) {
    return with_interval(cents, std::sqrt(within_variance * dispersion.ratio), dispersion.df);
  };
  const double difference = later->mean - earlier->mean;
  const double variance = earlier->within_variance + later->within_variance;
  change.earlier = estimate(earlier->mean, earlier->within_variance);
  change.later = estimate(later->mean, later->within_variance);
  change.change = estimate(difference, variance);
  change.p = two_sided_p(difference / std::sqrt(variance * dispersion.ratio), dispersion.df);
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
  const bool significant = is_comparable(tracked) && change.p_adjusted && *change.p_adjusted <= change_alpha;
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
  std::vector<TakeEffect> earlier_effects, later_effects;
  const auto effects = model.effects_by_take(selected, tracked.group);
  for (std::size_t t = 0; t < effects.size(); ++t) {
    if (!effects[t]) continue;
    change.cents_by_take[grouped.source[t]] = effects[t]->cents;
    (grouped.source[t] < earlier ? earlier_effects : later_effects).push_back(*effects[t]);
  }
  if (earlier > 0)
    compare(change, mean_of_part(earlier_effects), mean_of_part(later_effects),
            pooled_dispersion_for(model.dispersion_ratios(selected), grouped, tracked.group));
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
  const SeveralTakesModel model = several_takes_model(grouped);
  const std::vector<TrackedHabit> tracked = tracked_habits(takes, std::min(earlier, takes.size()), grouped, model);
  std::vector<std::size_t> selected;
  for (const TrackedHabit& one : tracked) selected.push_back(one.group);
  std::vector<HabitChange> changes;
  for (const TrackedHabit& one : tracked)
    changes.push_back(change_of(one, model, selected, grouped, takes.size(), earlier));
  adjust(changes);
  for (std::size_t i = 0; i < changes.size(); ++i) changes[i].status = status_of(changes[i], tracked[i]);
  return changes;
}

}  // namespace firmus
