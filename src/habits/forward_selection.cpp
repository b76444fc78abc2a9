#include "forward_selection.hpp"

#include <algorithm>
#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double confounder_t = 2.5;       // |t| below it: not significant once the other group is in
constexpr double confounder_cosine = 0.5;  // below it: too few notes in common to be confounded
// For 90 % power in simulations with the very test (seeds below 200). Above the normal quantile of 1.28: a planted
// tendency widens the scatter that it is tested against and is clipped with it, and over several takes more groups are
// tested, each must also hold against its scatter between takes, and the estimate was the largest of many.
constexpr double detection_margin = 2.4, settling_margin = 4.5;

std::optional<std::size_t> smallest_p(const std::vector<std::optional<GroupTest>>& tests,
                                      std::span<const double> alpha_weights) {
  std::optional<std::size_t> best;
  const auto adjusted = [&](std::size_t group) { return tests[group]->p / alpha_weights[group]; };
  for (std::size_t group = 0; group < tests.size(); ++group)
    if (tests[group] && alpha_weights[group] > 0 && (!best || adjusted(group) < adjusted(*best))) best = group;
  return best;
}

void add_size(SelectedEffect& effect, const SelectionModel& model, std::span<const std::size_t> selected) {
  const auto estimate = model.effect(selected, effect.group);
  if (!estimate) return;
  const double half = t_quantile(0.975, estimate->df) * estimate->se;
  effect.cents = estimate->beta;
  effect.ci95 = {estimate->beta - half, estimate->beta + half};
}

void add_overlapping_groups(SelectedEffect& effect, const SelectionModel& model, std::span<const std::size_t> selected,
                            std::size_t groups) {
  for (std::size_t other = 0; other < groups; ++other) {
    if (std::find(selected.begin(), selected.end(), other) != selected.end()) continue;
    const double cosine = model.cosine(other, effect.group);
    if (cosine * cosine > alias_cosine_squared) {
      effect.aliases.push_back(other);
      continue;
    }
    if (std::fabs(cosine) < confounder_cosine) continue;
    std::vector<std::size_t> instead(selected.begin(), selected.end());
    std::replace(instead.begin(), instead.end(), effect.group, other);
    const auto test = model.tests(instead)[effect.group];
    if (!test || std::fabs(test->t) < confounder_t) effect.confounders.push_back(other);
  }
}

}  // namespace

Selection forward_selection(const SelectionModel& model, std::span<const double> alpha_weights) {
  Selection selection;
  selection.remaining = model.tests(selection.selected);
  while (selection.effects.size() < most_effects) {
    const auto next = smallest_p(selection.remaining, alpha_weights);
    if (!next) break;
    const GroupTest& test = *selection.remaining[*next];
    const double p_adjusted = std::min(1.0, test.p / alpha_weights[*next]);
    if (p_adjusted > family_alpha) break;
    selection.effects.push_back({*next, test, p_adjusted, 0, {}, {}, {}});
    selection.selected.push_back(*next);
    selection.remaining = model.tests(selection.selected);
  }
  for (SelectedEffect& effect : selection.effects) add_size(effect, model, selection.selected);
  std::erase_if(selection.effects, [](const SelectedEffect& e) { return std::fabs(e.cents) < smallest_habit_cents; });
  for (SelectedEffect& effect : selection.effects)
    add_overlapping_groups(effect, model, selection.selected, alpha_weights.size());
  return selection;
}

double critical_t(double alpha_weight, double df) {
  return t_quantile(1 - family_alpha * alpha_weight / 2, df);
}

double additional_occurrences(int count, double t, double critical) {
  const double factor = (critical + settling_margin) / std::fabs(t);
  return std::max(1.0, std::ceil(count * factor * factor) - count);
}

double minimum_detectable_cents(const GroupTest& test, double alpha_weight) {
  return (critical_t(alpha_weight, test.df) + detection_margin) * test.se;
}

}  // namespace firmus::habits
