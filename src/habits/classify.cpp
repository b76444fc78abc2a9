#include "classify.hpp"

#include <algorithm>
#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double leaning_p = 0.10;
constexpr double overlap = 0.5;  // cosine from which two groups tell of the same notes
constexpr double same_notes = 1 - 1e-6;
constexpr double most_times_count = 10;  // needs more than that: chance explains it as well

struct ClassifyContext {
  const SelectionModel& model;
  std::span<const Group> groups;
  std::span<const std::size_t> tested_groups;
  Selection selection;
  const Group& group(std::size_t g) const { return groups[tested_groups[g]]; }
};

HabitRow row_of(const Group& group) {
  HabitRow row;
  row.group = to_string(group.name.family);
  row.name = group.name.name;
  row.direction = group.name.direction;
  for (const GroupName& name : group.same) row.aliases.push_back(full_name(name));
  for (const GroupName& name : group.complement) row.aliases.push_back("all but " + full_name(name));
  return row;
}

void add_test(HabitRow& row, const GroupTest& test, double share) {
  const double half = t_quantile(0.975, test.df) * test.se;
  row.mean_cents = test.cents;
  row.ci95_cents = {test.cents - half, test.cents + half};
  row.p = test.p;
  row.p_adjusted = std::min(1.0, test.p / share);
  row.minimum_detectable_cents = std::max(smallest_habit_cents, minimum_detectable_cents(test, share));
}

/// The other group of nearly the same notes, or of nearly all the others.
std::string beside(const ClassifyContext& at, std::size_t group, std::size_t other) {
  return (at.model.cosine(group, other) < 0 ? "all but " : "") + full_name(at.group(other).name);
}

HabitReport chronic(const ClassifyContext& at, const SelectedEffect& finding) {
  HabitReport reports{at.tested_groups[finding.group], row_of(at.group(finding.group))};
  add_test(reports.row, finding.test, at.group(finding.group).share);
  reports.row.decision = HabitDecision::chronic;
  reports.row.mean_cents = finding.cents;
  reports.row.ci95_cents = finding.ci95;
  for (const std::size_t same : finding.same) reports.row.aliases.push_back(beside(at, finding.group, same));
  for (const std::size_t rival : finding.confounders)
    reports.row.confounders.push_back(beside(at, finding.group, rival));
  return reports;
}

/// Groups not found, the surest first.
std::vector<std::size_t> rest_by_p(const ClassifyContext& at) {
  std::vector<std::size_t> others;
  for (std::size_t g = 0; g < at.selection.others.size(); ++g)
    if (at.selection.others[g]) others.push_back(g);
  const auto q = [&](std::size_t g) { return at.selection.others[g]->p / at.group(g).share; };
  std::stable_sort(others.begin(), others.end(), [&](std::size_t a, std::size_t b) { return q(a) < q(b); });
  return others;
}

std::optional<int> required_more(const ClassifyContext& at, std::size_t g) {
  const GroupTest& test = *at.selection.others[g];
  if (test.p >= leaning_p || std::fabs(test.cents) < smallest_habit_cents) return std::nullopt;
  const int count = at.group(g).sung;
  const double needed = additional_occurrences(count, test.t, critical_t(at.group(g).share, test.df));
  if (needed > most_times_count * count) return std::nullopt;
  return static_cast<int>(needed);
}

/// Whether these notes are told of already: by a finding, or by one that leans more (which then names this one).
bool is_explained(const ClassifyContext& at, std::size_t g, std::vector<std::pair<std::size_t, HabitReport>>& leaning) {
  for (const SelectedEffect& finding : at.selection.effects)
    if (std::fabs(at.model.cosine(g, finding.group)) >= overlap) return true;
  for (auto& [other, reports] : leaning) {
    const double cosine = at.model.cosine(g, other);
    if (std::fabs(cosine) < overlap) continue;
    (cosine * cosine > same_notes ? reports.row.aliases : reports.row.confounders).push_back(beside(at, other, g));
    return true;
  }
  return false;
}

}  // namespace

std::vector<HabitReport> classify(const SelectionModel& model, std::span<const Group> groups,
                                  std::span<const std::size_t> tested_groups) {
  std::vector<double> alpha_weights;
  for (const std::size_t g : tested_groups) alpha_weights.push_back(groups[g].share);
  const ClassifyContext at{model, groups, tested_groups, forward_selection(model, alpha_weights)};
  std::vector<HabitReport> reports;
  for (const SelectedEffect& finding : at.selection.effects) reports.push_back(chronic(at, finding));
  std::vector<std::pair<std::size_t, HabitReport>> leaning;
  std::vector<HabitReport> counted;
  for (const std::size_t g : rest_by_p(at)) {
    HabitReport other{tested_groups[g], row_of(at.group(g))};
    add_test(other.row, *at.selection.others[g], at.group(g).share);
    other.row.required_more = required_more(at, g);
    const bool leans = other.row.required_more && !is_explained(at, g, leaning);
    if (leans) {
      other.row.decision = HabitDecision::leaning;
      leaning.emplace_back(g, std::move(other));
    } else if (at.group(g).name.family == Family::interval) {
      other.row.required_more.reset();
      counted.push_back(std::move(other));
    }
  }
  for (auto& [g, row] : leaning) reports.push_back(std::move(row));
  for (HabitReport& row : counted) reports.push_back(std::move(row));
  return reports;
}

std::vector<HabitReport> report_untested(std::span<const Group> groups) {
  std::vector<HabitReport> reports;
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (groups[g].share <= 0 && groups[g].name.family == Family::interval) reports.push_back({g, row_of(groups[g])});
  return reports;
}

}  // namespace firmus::habits
