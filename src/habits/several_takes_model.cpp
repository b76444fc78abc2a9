#include "several_takes_model.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double prior_dispersion_df = 12;   // prior weight of the dispersion pooled over groups, in takes (simulation)
constexpr double min_effective_notes = 0.2;  // of a group in a take; with fewer its effect there is mostly noise
constexpr double winsor_scales = 3;          // a larger clip lets one outlier determine the mean of a written note

bool contains(std::span<const std::size_t> selected, std::size_t group) {
  return std::find(selected.begin(), selected.end(), group) != selected.end();
}

std::vector<double> weights_of(const std::vector<SeriesRegression>& takes) {
  std::vector<double> scales;
  for (const SeriesRegression& take : takes) scales.push_back(take.fit({}).scale);
  const double typical = median(scales);
  for (double& scale : scales) scale = 1 / (scale * scale + typical * typical);
  return scales;
}

/// Errors of a take minus its own level and drift, outliers clipped.
Column winsorized_residuals(const NoteSeries& series) {
  const HuberFit fit = fit_huber(series.cents, {Column(series.size(), 1.0), series.position});
  Column rest = fit.residual;
  for (double& value : rest) value = std::clamp(value, -winsor_scales * fit.scale, winsor_scales * fit.scale);
  return rest;
}

/// One series of all written notes: the weighted mean of each over the takes; rows weigh by how many takes have it.
NoteSeries mean_series(const std::vector<TakeSeries>& takes, const std::vector<double>& weights, WrittenNotes notes) {
  Column sums(notes.size(), 0.0), weight_sums(notes.size(), 0.0), sung(notes.size(), 0.0);
  for (std::size_t t = 0; t < takes.size(); ++t) {
    const Column rest = winsorized_residuals(takes[t].series);
    for (std::size_t k = 0; k < rest.size(); ++k) {
      const std::size_t note = takes[t].note[k];
      sums[note] += weights[t] * rest[k];
      weight_sums[note] += weights[t];
      sung[note] += 1;
    }
  }
  const double most = *std::max_element(sung.begin(), sung.end());
  NoteSeries series;
  for (std::size_t note = 0; note < notes.size(); ++note) {
    series.cents.push_back(sums[note] / weight_sums[note]);
    series.weight.push_back(std::sqrt(sung[note] / most));
  }
  series.se_cents.assign(notes.size(), 0.0);
  series.position = std::move(notes.position);
  series.begins = std::move(notes.begins);
  series.members = std::move(notes.members);
  return series;
}

std::vector<SeriesRegression> regressions_of(const std::vector<TakeSeries>& takes) {
  std::vector<SeriesRegression> regressions;
  for (const TakeSeries& take : takes) regressions.emplace_back(whiten(take.series));
  return regressions;
}

GroupTest test_of(const EffectEstimate& effect) {
  GroupTest test{effect.beta, effect.se, effect.beta / effect.se, effect.df, 1, 0};
  test.p = two_sided_p(test.t, test.df);
  return test;
}

/// Mean dispersion ratio over the groups, at least 1.
double pooled_dispersion_of(std::span<const std::optional<TakeMean>> means) {
  double sum = 0, count = 0;
  for (const auto& mean : means) {
    if (!mean) continue;
    sum += dispersion_ratio(*mean);
    count += 1;
  }
  return count > 0 ? std::max(1.0, sum / count) : 1;
}

/// The test with the larger p; p = 1 where the two disagree about the direction.
GroupTest intersection_union(const GroupTest& by_notes, const GroupTest& by_takes) {
  if (by_notes.cents * by_takes.cents <= 0) {
    GroupTest none = by_takes;
    none.p = 1;
    return none;
  }
  GroupTest test = by_notes.p > by_takes.p ? by_notes : by_takes;
  test.cents = by_takes.cents;
  test.se = std::fabs(test.cents / test.t);
  return test;
}

}  // namespace

double dispersion_ratio(const TakeMean& mean) {
  return mean.within_variance > 0 ? mean.between_variance / mean.within_variance : 1;
}

std::optional<TakeMean> mean_of_takes(std::span<const TakeEffect> effects) {
  if (effects.size() < 2) return std::nullopt;
  TakeMean take_mean;
  take_mean.takes = effects.size();
  double weight = 0;
  for (const TakeEffect& effect : effects) weight += effect.weight;
  for (const TakeEffect& effect : effects) take_mean.mean += effect.weight * effect.cents / weight;
  for (const TakeEffect& effect : effects) {
    const double share = effect.weight * effect.weight / (weight * weight);
    take_mean.within_variance += share * effect.variance;
    take_mean.between_variance += share * (effect.cents - take_mean.mean) * (effect.cents - take_mean.mean);
  }
  const auto k = static_cast<double>(effects.size());
  take_mean.between_variance *= k / (k - 1);
  return take_mean;
}

EffectEstimate pooled_effect(const TakeMean& take_mean, double pooled_dispersion) {
  const double df = prior_dispersion_df + static_cast<double>(take_mean.takes) - 1;
  const double ratio = (prior_dispersion_df * pooled_dispersion +
                        (static_cast<double>(take_mean.takes) - 1) * dispersion_ratio(take_mean)) /
                       df;
  return {take_mean.mean, std::sqrt(take_mean.within_variance * std::max(1.0, ratio)), df};
}

SeveralTakesModel::SeveralTakesModel(const std::vector<TakeSeries>& takes, WrittenNotes notes,
                                     std::vector<bool> tested_by_takes_only)
    : takes_(regressions_of(takes)),
      weights_(weights_of(takes_)),
      tested_by_takes_only_(std::move(tested_by_takes_only)),
      notes_(whiten(mean_series(takes, weights_, std::move(notes)))) {}

SeveralTakesModel::TakeMeans SeveralTakesModel::means_of_remaining(std::span<const std::size_t> selected) const {
  std::vector<std::vector<TakeEffect>> effects(tested_by_takes_only_.size());
  for (std::size_t t = 0; t < takes_.size(); ++t) {
    const HuberFit fit = takes_[t].fit(selected);
    const double per_note =
        dot(fit.winsorized, fit.winsorized) / (static_cast<double>(fit.rows()) - static_cast<double>(fit.columns()));
    for (std::size_t group = 0; group < effects.size(); ++group) {
      const auto test = contains(selected, group) ? std::nullopt : takes_[t].test(fit, group);
      if (test && test->effective_notes > min_effective_notes)
        effects[group].push_back({test->cents, per_note / test->effective_notes, weights_[t]});
    }
  }
  TakeMeans means;
  for (const auto& group : effects) means.push_back(mean_of_takes(group));
  return means;
}

std::vector<std::optional<double>> SeveralTakesModel::dispersion_ratios(std::span<const std::size_t> selected) const {
  std::vector<std::optional<double>> ratios;
  for (const auto& take_mean : means_of_remaining(selected))
    ratios.push_back(take_mean ? std::optional(dispersion_ratio(*take_mean)) : std::nullopt);
  return ratios;
}

std::vector<std::optional<GroupTest>> SeveralTakesModel::tests(std::span<const std::size_t> selected) const {
  const TakeMeans means = means_of_remaining(selected);
  const double pooled_dispersion = pooled_dispersion_of(means);
  const HuberFit fit = notes_.fit(selected);
  std::vector<std::optional<GroupTest>> tests(means.size());
  for (std::size_t group = 0; group < tests.size(); ++group) {
    if (!means[group]) continue;
    const GroupTest by_takes = test_of(pooled_effect(*means[group], pooled_dispersion));
    if (tested_by_takes_only_[group]) {
      tests[group] = by_takes;
    } else if (const auto by_notes = notes_.test(fit, group)) {
      tests[group] = intersection_union(*by_notes, by_takes);
    }
  }
  return tests;
}

std::vector<std::optional<TakeEffect>> SeveralTakesModel::effects_by_take(std::span<const std::size_t> selected,
                                                                          std::size_t group) const {
  std::vector<std::optional<TakeEffect>> effects(takes_.size());
  for (std::size_t t = 0; t < takes_.size(); ++t)
    if (const auto effect = takes_[t].effect(selected, group))
      effects[t] = TakeEffect{effect->beta, effect->se * effect->se, weights_[t]};
  return effects;
}

std::optional<TakeMean> SeveralTakesModel::mean_of_selected(std::span<const std::size_t> selected,
                                                            std::size_t group) const {
  std::vector<TakeEffect> effects;
  for (const auto& size : effects_by_take(selected, group))
    if (size) effects.push_back(*size);
  return mean_of_takes(effects);
}

std::optional<EffectEstimate> SeveralTakesModel::effect(std::span<const std::size_t> selected,
                                                        std::size_t group) const {
  const auto take_mean = mean_of_selected(selected, group);
  if (!take_mean) return std::nullopt;
  EffectEstimate size = pooled_effect(*take_mean, pooled_dispersion_of(means_of_remaining(selected)));
  const auto by_notes = notes_.effect(selected, group);
  if (tested_by_takes_only_[group] || !by_notes) return size;
  const double takes = size.se * size.se, notes = by_notes->se * by_notes->se;
  // Both variances contain the noise within takes: it is subtracted once from their sum.
  size.df = takes > notes ? size.df : by_notes->df;
  size.se = std::sqrt(std::max({takes, notes, takes + notes - take_mean->within_variance}));
  return size;
}

}  // namespace firmus::habits
