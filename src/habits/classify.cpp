#include "classify.hpp"

#include <algorithm>
#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double leaning_p = 0.10;
constexpr double overlap = 0.5;  // cosine from which two groups tell of the same notes
constexpr double same_notes = 1 - 1e-6;
constexpr double most_times_as_many = 10;  // needs more than that: chance explains it as well

struct Looking {
  const Model& model;
  std::span<const Group> groups;
  std::span<const std::size_t> looked_at;
  Choice choice;
  const Group& group(std::size_t g) const { return groups[looked_at[g]]; }
};

HabitRow row_of(const Group& group) {
  HabitRow row;
  row.group = to_string(group.name.family);
  row.name = group.name.name;
  row.direction = group.name.direction;
  for (const GroupName& name : group.same) row.aliases.push_back(in_full(name));
  for (const GroupName& name : group.complement) row.aliases.push_back("all but " + in_full(name));
  return row;
}

void add_test(HabitRow& row, const GroupTest& test, double share) {
  const double half = t_quantile(0.975, test.df) * test.se;
  row.mean_cents = test.cents;
  row.ci95_cents = {test.cents - half, test.cents + half};
  row.p = test.p;
  row.p_adjusted = std::min(1.0, test.p / share);
  row.minimum_detectable_cents = std::max(smallest_size_cents, minimum_detectable_cents(test, share));
}

/// The other group of nearly the same notes, or of nearly all the others.
std::string beside(const Looking& at, std::size_t group, std::size_t other) {
  return (at.model.cosine(group, other) < 0 ? "all but " : "") + in_full(at.group(other).name);
}

Said chronic(const Looking& at, const Finding& finding) {
  Said said{at.looked_at[finding.group], row_of(at.group(finding.group))};
  add_test(said.row, finding.test, at.group(finding.group).share);
  said.row.decision = HabitDecision::chronic;
  said.row.mean_cents = finding.cents;
  said.row.ci95_cents = finding.ci95;
  for (const std::size_t same : finding.same) said.row.aliases.push_back(beside(at, finding.group, same));
  for (const std::size_t rival : finding.rivals) said.row.confounders.push_back(beside(at, finding.group, rival));
  return said;
}

/// Groups not found, the surest first.
std::vector<std::size_t> others_by_p(const Looking& at) {
  std::vector<std::size_t> others;
  for (std::size_t g = 0; g < at.choice.others.size(); ++g)
    if (at.choice.others[g]) others.push_back(g);
  const auto q = [&](std::size_t g) { return at.choice.others[g]->p / at.group(g).share; };
  std::stable_sort(others.begin(), others.end(), [&](std::size_t a, std::size_t b) { return q(a) < q(b); });
  return others;
}

std::optional<int> needed_to_settle(const Looking& at, std::size_t g) {
  const GroupTest& test = *at.choice.others[g];
  if (test.p >= leaning_p || std::fabs(test.cents) < smallest_size_cents) return std::nullopt;
  const int count = at.group(g).sung;
  const double needed = occurrences_needed(count, test.t, critical_t(at.group(g).share, test.df));
  if (needed > most_times_as_many * count) return std::nullopt;
  return static_cast<int>(needed);
}

/// Whether these notes are told of already: by a finding, or by one that leans more (which then names this one).
bool is_told(const Looking& at, std::size_t g, std::vector<std::pair<std::size_t, Said>>& leaning) {
  for (const Finding& finding : at.choice.findings)
    if (std::fabs(at.model.cosine(g, finding.group)) >= overlap) return true;
  for (auto& [other, said] : leaning) {
    const double cosine = at.model.cosine(g, other);
    if (std::fabs(cosine) < overlap) continue;
    (cosine * cosine > same_notes ? said.row.aliases : said.row.confounders).push_back(beside(at, other, g));
    return true;
  }
  return false;
}

}  // namespace

std::vector<Said> decide(const Model& model, std::span<const Group> groups, std::span<const std::size_t> looked_at) {
  std::vector<double> shares;
  for (const std::size_t g : looked_at) shares.push_back(groups[g].share);
  const Looking at{model, groups, looked_at, choose(model, shares)};
  std::vector<Said> said;
  for (const Finding& finding : at.choice.findings) said.push_back(chronic(at, finding));
  std::vector<std::pair<std::size_t, Said>> leaning;
  std::vector<Said> counted;
  for (const std::size_t g : others_by_p(at)) {
    Said other{looked_at[g], row_of(at.group(g))};
    add_test(other.row, *at.choice.others[g], at.group(g).share);
    other.row.required_more = needed_to_settle(at, g);
    const bool leans = other.row.required_more && !is_told(at, g, leaning);
    if (leans) {
      other.row.decision = HabitDecision::leaning;
      leaning.emplace_back(g, std::move(other));
    } else if (at.group(g).name.family == Family::interval) {
      other.row.required_more.reset();
      counted.push_back(std::move(other));
    }
  }
  for (auto& [g, row] : leaning) said.push_back(std::move(row));
  for (Said& row : counted) said.push_back(std::move(row));
  return said;
}

std::vector<Said> count_the_rest(std::span<const Group> groups) {
  std::vector<Said> said;
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (groups[g].share <= 0 && groups[g].name.family == Family::interval) said.push_back({g, row_of(groups[g])});
  return said;
}

}  // namespace firmus::habits
