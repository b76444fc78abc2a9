#include "classify.hpp"

#include <algorithm>
#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

// After adjustment: of takes without a habit at most 15 in 100 have a row up to it (simulation, seeds below 200).
constexpr double leaning_p_adjusted = 0.15;
constexpr double overlap_cosine = 0.5;  // from it on two groups are about the same notes
constexpr double most_times_count =
    10;  // a required sample above 10 times the count: chance explains the effect as well

struct ClassifyContext {
  const SelectionModel& model;
  std::span<const Group> groups;
  std::span<const std::size_t> tested_groups;
  Selection selection;
  const Group& group(std::size_t g) const { return groups[tested_groups[g]]; }
};

/// A leaning row and its group in the model.
using LeaningGroup = std::pair<std::size_t, HabitReport>;

HabitRow row_of(const Group& group) {
  HabitRow row;
  row.group = to_string(group.name.family);
  row.name = group.name.name;
  row.direction = group.name.direction;
  for (const GroupName& name : group.aliases) row.aliases.push_back(full_name(name));
  for (const GroupName& name : group.complements) row.aliases.push_back("all but " + full_name(name));
  return row;
}

void add_test(HabitRow& row, const GroupTest& test, double alpha_weight) {
  const double half = t_quantile(0.975, test.df) * test.se;
  row.contrast_cents = test.cents;
  row.contrast_ci95_cents = {test.cents - half, test.cents + half};
  row.p = test.p;
  row.p_adjusted = std::min(1.0, test.p / alpha_weight);
  row.minimum_detectable_cents = std::max(smallest_habit_cents, minimum_detectable_cents(test, alpha_weight));
}

/// Name of an overlapping group; "all but ..." where it overlaps with the other notes.
std::string overlapping_name(const ClassifyContext& at, std::size_t group, std::size_t other) {
  return (at.model.cosine(group, other) < 0 ? "all but " : "") + full_name(at.group(other).name);
}

HabitReport chronic_report(const ClassifyContext& at, const SelectedEffect& effect) {
  HabitReport report{at.tested_groups[effect.group], row_of(at.group(effect.group))};
  add_test(report.row, effect.test, at.group(effect.group).alpha_weight);
  report.row.decision = HabitDecision::chronic;
  report.row.contrast_cents = effect.cents;
  report.row.contrast_ci95_cents = effect.ci95;
  for (const std::size_t other : effect.aliases)
    report.row.aliases.push_back(overlapping_name(at, effect.group, other));
  for (const std::size_t other : effect.confounders)
    report.row.confounders.push_back(overlapping_name(at, effect.group, other));
  return report;
}

/// Groups that were not selected, by adjusted p.
std::vector<std::size_t> remaining_by_p(const ClassifyContext& at) {
  std::vector<std::size_t> remaining;
  for (std::size_t g = 0; g < at.selection.remaining.size(); ++g)
    if (at.selection.remaining[g]) remaining.push_back(g);
  const auto adjusted = [&](std::size_t g) { return at.selection.remaining[g]->p / at.group(g).alpha_weight; };
  std::stable_sort(remaining.begin(), remaining.end(),
                   [&](std::size_t a, std::size_t b) { return adjusted(a) < adjusted(b); });
  return remaining;
}

/// Required sample size of a suggestive group, as whole takes; none for one that is not.
std::optional<int> required_more(const ClassifyContext& at, std::size_t g) {
  const GroupTest& test = *at.selection.remaining[g];
  if (test.p > leaning_p_adjusted * at.group(g).alpha_weight || std::fabs(test.cents) < smallest_habit_cents)
    return std::nullopt;
  const int count = at.group(g).sung;
  const double needed = additional_occurrences(count, test.t, critical_t(at.group(g).alpha_weight, test.df));
  if (needed > most_times_count * count) return std::nullopt;
  const auto takes = static_cast<int>(at.group(g).members.size());
  const int in_a_take = (count + takes - 1) / takes;
  return static_cast<int>(std::ceil(needed / in_a_take)) * in_a_take;
}

/// Whether a row for these notes exists already: a selected group, or a leaning one with a smaller p. The latter then
/// names this group as its alias or confounder.
bool is_covered(const ClassifyContext& at, std::size_t g, std::vector<LeaningGroup>& leaning) {
  for (const SelectedEffect& effect : at.selection.effects)
    if (std::fabs(at.model.cosine(g, effect.group)) >= overlap_cosine) return true;
  for (auto& [other, report] : leaning) {
    const double cosine = at.model.cosine(g, other);
    if (std::fabs(cosine) < overlap_cosine) continue;
    (cosine * cosine > alias_cosine_squared ? report.row.aliases : report.row.confounders)
        .push_back(overlapping_name(at, other, g));
    return true;
  }
  return false;
}

}  // namespace

std::vector<HabitReport> classify(const SelectionModel& model, std::span<const Group> groups,
                                  std::span<const std::size_t> tested_groups) {
  std::vector<double> alpha_weights;
  for (const std::size_t g : tested_groups) alpha_weights.push_back(groups[g].alpha_weight);
  const ClassifyContext at{model, groups, tested_groups, forward_selection(model, alpha_weights)};
  std::vector<HabitReport> reports;
  for (const SelectedEffect& effect : at.selection.effects) reports.push_back(chronic_report(at, effect));
  std::vector<LeaningGroup> leaning;
  std::vector<HabitReport> counted;
  for (const std::size_t g : remaining_by_p(at)) {
    HabitReport report{tested_groups[g], row_of(at.group(g))};
    add_test(report.row, *at.selection.remaining[g], at.group(g).alpha_weight);
    report.row.required_more = required_more(at, g);
    if (report.row.required_more && !is_covered(at, g, leaning)) {
      report.row.decision = HabitDecision::leaning;
      leaning.emplace_back(g, std::move(report));
    } else if (at.group(g).name.family == Family::interval) {
      report.row.required_more.reset();
      counted.push_back(std::move(report));
    }
  }
  for (auto& [g, report] : leaning) reports.push_back(std::move(report));
  for (HabitReport& report : counted) reports.push_back(std::move(report));
  return reports;
}

std::vector<HabitReport> report_untested(std::span<const Group> groups) {
  std::vector<HabitReport> reports;
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (groups[g].alpha_weight <= 0 && groups[g].name.family == Family::interval)
      reports.push_back({g, row_of(groups[g])});
  return reports;
}

}  // namespace firmus::habits
