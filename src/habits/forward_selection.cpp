#include "forward_selection.hpp"

#include <algorithm>
#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double confounder_t = 2.5;       // below: the finding says nothing beside its rival
constexpr double confounder_cosine = 0.5;  // below: too few notes in common to be taken for each other
constexpr double same_cosine_squared = 1 - 1e-6;
constexpr double power_quantile = 1.2816;  // normal quantile at 0.9

double adjusted(double p, double share) {
  return share > 0 ? std::min(1.0, p / share) : 1;
}

std::optional<std::size_t> smallest_p(const std::vector<std::optional<GroupTest>>& tests,
                                      std::span<const double> alpha_weights) {
  std::optional<std::size_t> best;
  const auto q = [&](std::size_t group) { return tests[group]->p / alpha_weights[group]; };
  for (std::size_t group = 0; group < tests.size(); ++group)
    if (tests[group] && alpha_weights[group] > 0 && (!best || q(group) < q(*best))) best = group;
  return best;
}

void add_size(SelectedEffect& finding, const SelectionModel& model, std::span<const std::size_t> chosen) {
  const auto effect = model.effect(chosen, finding.group);
  if (!effect) return;
  const double half = t_quantile(0.975, effect->df) * effect->se;
  finding.cents = effect->beta;
  finding.ci95 = {effect->beta - half, effect->beta + half};
}

void add_confounders(SelectedEffect& finding, const SelectionModel& model, std::span<const std::size_t> chosen,
                     std::size_t groups) {
  for (std::size_t rival = 0; rival < groups; ++rival) {
    if (std::find(chosen.begin(), chosen.end(), rival) != chosen.end()) continue;
    const double cosine = model.cosine(rival, finding.group);
    if (cosine * cosine > same_cosine_squared) {
      finding.same.push_back(rival);
      continue;
    }
    if (std::fabs(cosine) < confounder_cosine) continue;
    std::vector<std::size_t> instead(chosen.begin(), chosen.end());
    std::replace(instead.begin(), instead.end(), finding.group, rival);
    const auto test = model.tests(instead)[finding.group];
    if (!test || std::fabs(test->t) < confounder_t) finding.confounders.push_back(rival);
  }
}

}  // namespace

Selection forward_selection(const SelectionModel& model, std::span<const double> alpha_weights) {
  Selection selection;
  selection.others = model.tests(selection.chosen);
  while (selection.effects.size() < most_effects) {
    const auto next = smallest_p(selection.others, alpha_weights);
    if (!next) break;
    const GroupTest& test = *selection.others[*next];
    const double q = adjusted(test.p, alpha_weights[*next]);
    if (q > family_alpha) break;
    selection.effects.push_back({*next, test, q, 0, {}, {}, {}});
    selection.chosen.push_back(*next);
    selection.others = model.tests(selection.chosen);
  }
  for (SelectedEffect& finding : selection.effects) add_size(finding, model, selection.chosen);
  std::erase_if(selection.effects, [](const SelectedEffect& f) { return std::fabs(f.cents) < smallest_habit_cents; });
  for (SelectedEffect& finding : selection.effects)
    add_confounders(finding, model, selection.chosen, alpha_weights.size());
  return selection;
}

double critical_t(double share, double df) {
  return t_quantile(1 - family_alpha * share / 2, df);
}

double additional_occurrences(int count, double t, double critical) {
  const double factor = (critical + power_quantile) / std::fabs(t);
  return std::max(1.0, std::ceil(count * factor * factor) - count);
}

double minimum_detectable_cents(const GroupTest& test, double share) {
  return (critical_t(share, test.df) + power_quantile) * test.se;
}

}  // namespace firmus::habits
