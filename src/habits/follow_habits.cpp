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

constexpr double usual_ratio_takes = 6;  // what the usual ratio counts beside a habit's own; 12 tells too many changes
constexpr double change_error_rate = 0.05;  // chance that any change is told of a student who stays the same
constexpr double same_fault = 0.5;          // cosine from which two habits tell of the same notes

/// A chronic row with its group in the model of all takes.
struct Followed {
  SharedHabit habit;
  std::size_t group = 0;
  bool then = false, now = false;  ///< chronic in the earlier, the later takes by themselves
  bool always = false;             ///< over all
};

bool is_named(const Group& group, const HabitRow& row) {
  const auto is = [&](const GroupName& name) {
    return to_string(name.family) == row.group && name.name == row.name && name.direction == row.direction;
  };
  return is(group.name) || std::any_of(group.same.begin(), group.same.end(), is);
}

std::optional<std::size_t> group_of(const Sorted& sorted, const HabitRow& row) {
  for (std::size_t g = 0; g < sorted.looked_at.size(); ++g)
    if (is_named(sorted.groups[sorted.looked_at[g]], row)) return g;
  return std::nullopt;
}

/// Adds the chronic rows that no row before them tells of; those that are told of are marked by `when`.
void add_chronic(std::vector<Followed>& followed, std::vector<SharedHabit> rows, const Sorted& sorted,
                 const TakesModel& model, bool Followed::*when) {
  for (SharedHabit& habit : rows) {
    if (habit.row.decision != HabitDecision::chronic) continue;
    const auto group = group_of(sorted, habit.row);
    if (!group) continue;
    const auto told = std::find_if(followed.begin(), followed.end(), [&](const Followed& other) {
      return other.group == *group || std::fabs(model.cosine(*group, other.group)) >= same_fault;
    });
    if (told != followed.end()) {
      (*told).*when = true;
      continue;
    }
    followed.push_back({std::move(habit), *group});
    followed.back().*when = true;
  }
}

/// One part's takes together; a single take has no spread of its own.
std::optional<OverTakes> part_of(const std::vector<TakeEffect>& sizes) {
  if (sizes.empty()) return std::nullopt;
  if (sizes.size() == 1) return OverTakes{sizes[0].cents, sizes[0].variance, sizes[0].variance, 1};
  return over_takes(sizes);
}

EstimateWithCi with_interval(double cents, double se, double df) {
  const double half = t_quantile(0.975, df) * se;
  return {cents, {cents - half, cents + half}};
}

/// Sum over parts of shown over expected variance, each part weighted by its degrees of freedom.
struct Wander {
  double ratio = 1, df = usual_ratio_takes;
};
Wander wander_of(std::initializer_list<const OverTakes*> parts, double usual_ratio) {
  double sum = usual_ratio_takes * usual_ratio, df = usual_ratio_takes;
  for (const OverTakes* part : parts) {
    const double free = static_cast<double>(part->takes) - 1;
    sum += free * (part->expected > 0 ? part->shown / part->expected : 1);
    df += free;
  }
  return {std::max(1.0, sum / df), df};
}

void compare(HabitChange& change, const std::optional<OverTakes>& then, const std::optional<OverTakes>& now,
             double usual_ratio) {
  if (!then || !now) {
    const auto& only = then ? then : now;
    if (!only) return;
    const Wander wander = wander_of({&*only}, usual_ratio);
    (then ? change.earlier : change.later) =
        with_interval(only->mean, std::sqrt(only->expected * wander.ratio), wander.df);
    return;
  }
  const Wander wander = wander_of({&*then, &*now}, usual_ratio);
  const auto size = [&](double cents, double expected) {
    return with_interval(cents, std::sqrt(expected * wander.ratio), wander.df);
  };
  change.earlier = size(then->mean, then->expected);
  change.later = size(now->mean, now->expected);
  change.change = size(now->mean - then->mean, then->expected + now->expected);
  change.p =
      two_sided_p((now->mean - then->mean) / std::sqrt((then->expected + now->expected) * wander.ratio), wander.df);
}

/// Over all takes a habit is chosen without regard to when it was there: half of the error rate is for these. One that
/// was found in a part only was chosen for its change: it must be surer there, by the other half over both parts.
bool can_be_compared(const Followed& followed) {
  constexpr int parts = 2;
  return followed.always || followed.habit.row.p_adjusted.value_or(1) <= change_error_rate / 2 / parts;
}

/// Over all changes that have a p-value; each at half of the error rate (can_be_compared says where the other half
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
  return std::fabs(size.cents) < smallest_size_cents || holds_zero(size);
}

HabitTrend status_of(const HabitChange& change, const Followed& followed) {
  const bool clear = can_be_compared(followed) && change.p_adjusted && *change.p_adjusted <= change_error_rate;
  const bool shows_now = followed.now || !change.later || !is_none(*change.later);
  if (!clear) return shows_now && (followed.now || followed.always) ? HabitTrend::stays : HabitTrend::uncertain;
  const double then = change.earlier->cents, now = change.later->cents;
  if (is_none(*change.earlier)) return HabitTrend::appeared;
  if (std::fabs(now) < smallest_size_cents && holds_zero(*change.later)) return HabitTrend::gone;
  if (then * now < 0) return HabitTrend::reversed;
  return std::fabs(now) < std::fabs(then) ? HabitTrend::better : HabitTrend::worse;
}

/// How much takes differ in such a group: the mean over the groups of its family or over all, the larger (intervals
/// may wander while the register, an average over them, stands still).
double usual_ratio(const std::vector<std::optional<double>>& ratios, const Sorted& sorted, std::size_t group) {
  const auto family = [&](std::size_t g) { return sorted.groups[sorted.looked_at[g]].name.family; };
  double sum = 0, count = 0, family_sum = 0, family_count = 0;
  for (std::size_t g = 0; g < ratios.size(); ++g) {
    if (!ratios[g]) continue;
    sum += *ratios[g], ++count;
    if (family(g) == family(group)) family_sum += *ratios[g], ++family_count;
  }
  return std::max({1.0, count > 0 ? sum / count : 1, family_count > 0 ? family_sum / family_count : 1});
}

HabitChange change_of(const Followed& followed, const TakesModel& model, std::span<const std::size_t> chosen,
                      const Sorted& sorted, std::size_t takes_given, std::size_t earlier) {
  HabitChange change;
  change.habit = followed.habit;
  change.cents_by_take.resize(takes_given);
  std::vector<TakeEffect> then, now;
  const auto sizes = model.sizes_by_take(chosen, followed.group);
  for (std::size_t t = 0; t < sizes.size(); ++t) {
    if (!sizes[t]) continue;
    change.cents_by_take[sorted.from[t]] = sizes[t]->cents;
    (sorted.from[t] < earlier ? then : now).push_back(*sizes[t]);
  }
  if (earlier > 0)
    compare(change, part_of(then), part_of(now), usual_ratio(model.ratios(chosen), sorted, followed.group));
  return change;
}

std::vector<Followed> to_follow(std::span<const HabitTake> takes, std::size_t earlier, const Sorted& sorted,
                                const TakesModel& model) {
  std::vector<Followed> followed;
  add_chronic(followed, find_shared_habits(takes), sorted, model, &Followed::always);
  if (earlier == 0) return followed;
  add_chronic(followed, find_shared_habits(takes.subspan(earlier)), sorted, model, &Followed::now);
  add_chronic(followed, find_shared_habits(takes.first(earlier)), sorted, model, &Followed::then);
  return followed;
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
  const Sorted sorted = sort_takes(takes, fewest_judged);
  if (sorted.takes.size() < 2 || sorted.looked_at.empty()) return without_comparison(takes);
  const TakesModel model = model_of(sorted);
  const std::vector<Followed> followed = to_follow(takes, std::min(earlier, takes.size()), sorted, model);
  std::vector<std::size_t> chosen;
  for (const Followed& one : followed) chosen.push_back(one.group);
  std::vector<HabitChange> changes;
  for (const Followed& one : followed) changes.push_back(change_of(one, model, chosen, sorted, takes.size(), earlier));
  adjust(changes);
  for (std::size_t i = 0; i < changes.size(); ++i) changes[i].status = status_of(changes[i], followed[i]);
  return changes;
}

}  // namespace firmus
