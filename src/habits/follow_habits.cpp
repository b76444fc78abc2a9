// What is chronic, then and now. A habit is looked for in all takes, in the earlier and in the later ones; then its
// size in each take is taken from one regression of the take with all the habits in it, and the two means are compared
// as the takes of one part are with each other: by what the notes explain, times what habits usually wander.
#include <algorithm>
#include <cmath>

#include "base/holm.hpp"
#include "base/student_t.hpp"
#include "forward_selection.hpp"
#include "grouped_takes.hpp"

namespace firmus {
using namespace habits;
namespace {

constexpr double prior_dispersion_df =
    6;                                 // what the usual ratio counts beside a habit's own; 12 tells too many changes
constexpr double change_alpha = 0.05;  // chance that any change is told of a student who stays the same
constexpr double same_notes_cosine = 0.5;  // cosine from which two habits tell of the same notes

/// A chronic row with its group in the model of all takes.
struct TrackedHabit {
  SharedHabit habit;
  std::size_t group = 0;
  bool then = false, now = false;  ///< chronic in the earlier, the later takes by themselves
  bool always = false;             ///< over all
};

bool has_name(const Group& group, const HabitRow& row) {
  const auto is = [&](const GroupName& name) {
    return to_string(name.family) == row.group && name.name == row.name && name.direction == row.direction;
  };
  return is(group.name) || std::any_of(group.same.begin(), group.same.end(), is);
}

std::optional<std::size_t> group_of(const GroupedTakes& grouped, const HabitRow& row) {
  for (std::size_t g = 0; g < grouped.tested_groups.size(); ++g)
    if (has_name(grouped.groups[grouped.tested_groups[g]], row)) return g;
  return std::nullopt;
}

/// Adds the chronic rows that no row before them tells of; those that are told of are marked by `when`.
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

/// One part's takes together; a single take has no spread of its own.
std::optional<TakeMean> mean_of_part(const std::vector<TakeEffect>& effects) {
  if (effects.empty()) return std::nullopt;
  if (effects.size() == 1) return TakeMean{effects[0].cents, effects[0].variance, effects[0].variance, 1};
  return mean_of_takes(effects);
}

EstimateWithCi with_interval(double cents, double se, double df) {
  const double half = t_quantile(0.975, df) * se;
  return {cents, {cents - half, cents + half}};
}

/// Sum over parts of shown over expected variance, each part weighted by its degrees of freedom.
struct DispersionRatio {
  double ratio = 1, df = prior_dispersion_df;
};
DispersionRatio dispersion_of(std::initializer_list<const TakeMean*> parts, double pooled_dispersion) {
  double sum = prior_dispersion_df * pooled_dispersion, df = prior_dispersion_df;
  for (const TakeMean* part : parts) {
    const double free = static_cast<double>(part->takes) - 1;
    sum += free * (part->within_variance > 0 ? part->between_variance / part->within_variance : 1);
    df += free;
  }
  return {std::max(1.0, sum / df), df};
}

void compare(HabitChange& change, const std::optional<TakeMean>& then, const std::optional<TakeMean>& now,
             double pooled_dispersion) {
  if (!then || !now) {
    const auto& only = then ? then : now;
    if (!only) return;
    const DispersionRatio dispersion = dispersion_of({&*only}, pooled_dispersion);
    (then ? change.earlier : change.later) =
        with_interval(only->mean, std::sqrt(only->within_variance * dispersion.ratio), dispersion.df);
    return;
  }
  const DispersionRatio dispersion = dispersion_of({&*then, &*now}, pooled_dispersion);
  const auto size = [&](double cents, double within_variance) {
    return with_interval(cents, std::sqrt(within_variance * dispersion.ratio), dispersion.df);
  };
  change.earlier = size(then->mean, then->within_variance);
  change.later = size(now->mean, now->within_variance);
  change.change = size(now->mean - then->mean, then->within_variance + now->within_variance);
  change.p = two_sided_p(
      (now->mean - then->mean) / std::sqrt((then->within_variance + now->within_variance) * dispersion.ratio),
      dispersion.df);
}

/// Over all takes a habit is chosen without regard to when it was there: half of the error rate is for these. One that
/// was found in a part only was chosen for its change: it must be surer there, by the other half over both parts.
bool is_comparable(const TrackedHabit& tracked) {
  constexpr int parts = 2;
  return tracked.always || tracked.habit.row.p_adjusted.value_or(1) <= change_alpha / 2 / parts;
}

/// Over all changes that have a p-value; each at half of the error rate (is_comparable says where the other half
/// goes).
void adjust(std::vector<HabitChange>& changes) {
  std::vector<double> p;
  for (const HabitChange& change : changes)
    if (change.p) p.push_back(2 * *change.p);
  auto adjusted = holm_adjusted(p);
  auto next = adjusted.begin();
  for (HabitChange& change : changes)
    if (change.p) change.p_adjusted = *next++;
}

bool holds_zero(const EstimateWithCi& size) {
  return size.ci95.first <= 0 && size.ci95.second >= 0;
}
/// Too small for a habit, or not to be told from none.
bool is_none(const EstimateWithCi& size) {
  return std::fabs(size.cents) < smallest_habit_cents || holds_zero(size);
}

HabitTrend status_of(const HabitChange& change, const TrackedHabit& tracked) {
  const bool clear = is_comparable(tracked) && change.p_adjusted && *change.p_adjusted <= change_alpha;
  const bool shows_now = tracked.now || !change.later || !is_none(*change.later);
  if (!clear) return shows_now && (tracked.now || tracked.always) ? HabitTrend::stays : HabitTrend::uncertain;
  const double then = change.earlier->cents, now = change.later->cents;
  if (is_none(*change.earlier)) return HabitTrend::appeared;
  if (std::fabs(now) < smallest_habit_cents && holds_zero(*change.later)) return HabitTrend::gone;
  if (then * now < 0) return HabitTrend::reversed;
  return std::fabs(now) < std::fabs(then) ? HabitTrend::better : HabitTrend::worse;
}

/// How much takes differ in such a group: the mean over the groups of its family or over all, the larger (intervals
/// may wander while the register, an average over them, stands still).
double pooled_dispersion(const std::vector<std::optional<double>>& dispersion_ratios, const GroupedTakes& grouped,
                         std::size_t group) {
  const auto family = [&](std::size_t g) { return grouped.groups[grouped.tested_groups[g]].name.family; };
  double sum = 0, count = 0, family_sum = 0, family_count = 0;
  for (std::size_t g = 0; g < dispersion_ratios.size(); ++g) {
    if (!dispersion_ratios[g]) continue;
    sum += *dispersion_ratios[g], ++count;
    if (family(g) == family(group)) family_sum += *dispersion_ratios[g], ++family_count;
  }
  return std::max({1.0, count > 0 ? sum / count : 1, family_count > 0 ? family_sum / family_count : 1});
}

HabitChange change_of(const TrackedHabit& tracked, const SeveralTakesModel& model, std::span<const std::size_t> chosen,
                      const GroupedTakes& grouped, std::size_t takes_given, std::size_t earlier) {
  HabitChange change;
  change.habit = tracked.habit;
  change.cents_by_take.resize(takes_given);
  std::vector<TakeEffect> then, now;
  const auto effects = model.effects_by_take(chosen, tracked.group);
  for (std::size_t t = 0; t < effects.size(); ++t) {
    if (!effects[t]) continue;
    change.cents_by_take[grouped.from[t]] = effects[t]->cents;
    (grouped.from[t] < earlier ? then : now).push_back(*effects[t]);
  }
  if (earlier > 0)
    compare(change, mean_of_part(then), mean_of_part(now),
            pooled_dispersion(model.dispersion_ratios(chosen), grouped, tracked.group));
  return change;
}

std::vector<TrackedHabit> tracked_habits(std::span<const HabitTake> takes, std::size_t earlier,
                                         const GroupedTakes& grouped, const SeveralTakesModel& model) {
  std::vector<TrackedHabit> tracked;
  add_chronic(tracked, find_shared_habits(takes), grouped, model, &TrackedHabit::always);
  if (earlier == 0) return tracked;
  add_chronic(tracked, find_shared_habits(takes.subspan(earlier)), grouped, model, &TrackedHabit::now);
  add_chronic(tracked, find_shared_habits(takes.first(earlier)), grouped, model, &TrackedHabit::then);
  return tracked;
}

/// Of one take, or of none that is long enough, there is nothing to compare.
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

std::string_view to_string(HabitTrend status) {
  switch (status) {
    case HabitTrend::stays:
      return "stays";
    case HabitTrend::uncertain:
      return "uncertain";
    case HabitTrend::gone:
      return "gone";
    case HabitTrend::better:
      return "better";
    case HabitTrend::worse:
      return "worse";
    case HabitTrend::appeared:
      return "new";
    case HabitTrend::reversed:
      return "turned";
  }
  return {};
}

std::vector<HabitChange> follow_habits(std::span<const HabitTake> takes, std::size_t earlier) {
  const GroupedTakes grouped = group_takes(takes, min_judged_notes);
  if (grouped.takes.size() < 2 || grouped.tested_groups.empty()) return without_comparison(takes);
  const SeveralTakesModel model = several_takes_model(grouped);
  const std::vector<TrackedHabit> tracked = tracked_habits(takes, std::min(earlier, takes.size()), grouped, model);
  std::vector<std::size_t> chosen;
  for (const TrackedHabit& one : tracked) chosen.push_back(one.group);
  std::vector<HabitChange> changes;
  for (const TrackedHabit& one : tracked)
    changes.push_back(change_of(one, model, chosen, grouped, takes.size(), earlier));
  adjust(changes);
  for (std::size_t i = 0; i < changes.size(); ++i) changes[i].status = status_of(changes[i], tracked[i]);
  return changes;
}

}  // namespace firmus
