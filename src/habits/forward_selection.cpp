#include "forward_selection.hpp"

#include <algorithm>
#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double rival_t = 2.5;       // below: the finding says nothing beside its rival
constexpr double rival_cosine = 0.5;  // below: too few notes in common to be taken for each other
constexpr double same_cosine_squared = 1 - 1e-6;
constexpr double nine_in_ten = 1.2816;  // normal quantile at 0.9

double adjusted(double p, double share) {
  return share > 0 ? std::min(1.0, p / share) : 1;
}

std::optional<std::size_t> surest(const std::vector<std::optional<GroupTest>>& tests, std::span<const double> shares) {
  std::optional<std::size_t> best;
  const auto q = [&](std::size_t group) { return tests[group]->p / shares[group]; };
  for (std::size_t group = 0; group < tests.size(); ++group)
    if (tests[group] && shares[group] > 0 && (!best || q(group) < q(*best))) best = group;
  return best;
}

void add_size(Finding& finding, const Model& model, std::span<const std::size_t> chosen) {
  const auto effect = model.effect(chosen, finding.group);
  if (!effect) return;
  const double half = t_quantile(0.975, effect->df) * effect->se;
  finding.cents = effect->beta;
  finding.ci95 = {effect->beta - half, effect->beta + half};
}

void add_rivals(Finding& finding, const Model& model, std::span<const std::size_t> chosen, std::size_t groups) {
  for (std::size_t rival = 0; rival < groups; ++rival) {
    if (std::find(chosen.begin(), chosen.end(), rival) != chosen.end()) continue;
    const double cosine = model.cosine(rival, finding.group);
    if (cosine * cosine > same_cosine_squared) {
      finding.same.push_back(rival);
      continue;
    }
    if (std::fabs(cosine) < rival_cosine) continue;
    std::vector<std::size_t> instead(chosen.begin(), chosen.end());
    std::replace(instead.begin(), instead.end(), finding.group, rival);
    const auto test = model.tests(instead)[finding.group];
    if (!test || std::fabs(test->t) < rival_t) finding.rivals.push_back(rival);
  }
}

}  // namespace

Choice choose(const Model& model, std::span<const double> shares) {
  Choice choice;
  choice.others = model.tests(choice.chosen);
  while (choice.findings.size() < most_findings) {
    const auto next = surest(choice.others, shares);
    if (!next) break;
    const GroupTest& test = *choice.others[*next];
    const double q = adjusted(test.p, shares[*next]);
    if (q > error_rate) break;
    choice.findings.push_back({*next, test, q, 0, {}, {}, {}});
    choice.chosen.push_back(*next);
    choice.others = model.tests(choice.chosen);
  }
  for (Finding& finding : choice.findings) add_size(finding, model, choice.chosen);
  std::erase_if(choice.findings, [](const Finding& f) { return std::fabs(f.cents) < smallest_size_cents; });
  for (Finding& finding : choice.findings) add_rivals(finding, model, choice.chosen, shares.size());
  return choice;
}

double critical_t(double share, double df) {
  return t_quantile(1 - error_rate * share / 2, df);
}

double occurrences_needed(int count, double t, double critical) {
  const double factor = (critical + nine_in_ten) / std::fabs(t);
  return std::max(1.0, std::ceil(count * factor * factor) - count);
}

double minimum_detectable_cents(const GroupTest& test, double share) {
  return (critical_t(share, test.df) + nine_in_ten) * test.se;
}

}  // namespace firmus::habits
