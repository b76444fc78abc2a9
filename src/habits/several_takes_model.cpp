#include "several_takes_model.hpp"

#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double usual_ratio_takes = 12;  // how many takes the mean over groups is worth for the ratio of one group
constexpr double least_info = 0.2;        // notes' worth of a group in a take; with less its size there is noise
constexpr double level_clip = 3;          // scales; one wild note is not to make a written note's average

bool contains(std::span<const std::size_t> chosen, std::size_t group) {
  return std::find(chosen.begin(), chosen.end(), group) != chosen.end();
}

std::vector<double> weights_of(const std::vector<SeriesModel>& takes) {
  std::vector<double> scales;
  for (const SeriesModel& take : takes) scales.push_back(take.fit({}).scale);
  const double middle = median(scales);
  for (double& scale : scales) scale = 1 / (scale * scale + middle * middle);
  return scales;
}

/// Errors of a take against its own level and slope, wild ones clipped.
Column levelled(const Series& series) {
  const HuberFit fit = fit_huber(series.cents, {Column(series.size(), 1.0), series.position});
  Column rest = fit.residual;
  for (double& value : rest) value = std::clamp(value, -level_clip * fit.scale, level_clip * fit.scale);
  return rest;
}

/// One series of all written notes: the weighted mean of each over the takes, worth more where more sang it.
Series mean_of_notes(const std::vector<TakeSeries>& takes, const std::vector<double>& weights, WrittenNotes notes) {
  Column sums(notes.size(), 0.0), shares(notes.size(), 0.0), sung(notes.size(), 0.0);
  for (std::size_t t = 0; t < takes.size(); ++t) {
    const Column rest = levelled(takes[t].series);
    for (std::size_t k = 0; k < rest.size(); ++k) {
      const std::size_t note = takes[t].note[k];
      sums[note] += weights[t] * rest[k];
      shares[note] += weights[t];
      sung[note] += 1;
    }
  }
  const double most = *std::max_element(sung.begin(), sung.end());
  Series series;
  for (std::size_t note = 0; note < notes.size(); ++note) {
    series.cents.push_back(sums[note] / shares[note]);
    series.weight.push_back(std::sqrt(sung[note] / most));
  }
  series.se_cents.assign(notes.size(), 0.0);
  series.position = std::move(notes.position);
  series.begins = std::move(notes.begins);
  series.members = std::move(notes.members);
  return series;
}

std::vector<SeriesModel> models_of(const std::vector<TakeSeries>& takes) {
  std::vector<SeriesModel> models;
  for (const TakeSeries& take : takes) models.emplace_back(whiten(take.series));
  return models;
}

GroupTest test_of(const Effect& effect) {
  GroupTest test{effect.beta, effect.se, effect.beta / effect.se, effect.df, 1, 0};
  test.p = two_sided_p(test.t, test.df);
  return test;
}

double ratio_of(const OverTakes& over) {
  return over.expected > 0 ? over.shown / over.expected : 1;
}

}  // namespace

std::optional<OverTakes> over_takes(std::span<const TakeEffect> effects) {
  if (effects.size() < 2) return std::nullopt;
  OverTakes over;
  over.takes = effects.size();
  double weight = 0;
  for (const TakeEffect& effect : effects) weight += effect.weight;
  for (const TakeEffect& effect : effects) over.mean += effect.weight * effect.cents / weight;
  for (const TakeEffect& effect : effects) {
    const double share = effect.weight * effect.weight / (weight * weight);
    over.expected += share * effect.variance;
    over.shown += share * (effect.cents - over.mean) * (effect.cents - over.mean);
  }
  const auto k = static_cast<double>(effects.size());
  over.shown *= k / (k - 1);
  return over;
}

Effect mean_over_takes(const OverTakes& over, double usual_ratio) {
  const double df = usual_ratio_takes + static_cast<double>(over.takes) - 1;
  const double ratio = (usual_ratio_takes * usual_ratio + (static_cast<double>(over.takes) - 1) * ratio_of(over)) / df;
  return {over.mean, std::sqrt(over.expected * std::max(1.0, ratio)), df};
}

TakesModel::TakesModel(const std::vector<TakeSeries>& takes, WrittenNotes notes, std::vector<bool> by_takes_alone)
    : takes_(models_of(takes)),
      weights_(weights_of(takes_)),
      by_takes_alone_(std::move(by_takes_alone)),
      notes_(whiten(mean_of_notes(takes, weights_, std::move(notes)))) {}

TakesModel::Overs TakesModel::over_takes_of_all(std::span<const std::size_t> chosen) const {
  std::vector<std::vector<TakeEffect>> effects(by_takes_alone_.size());
  for (std::size_t t = 0; t < takes_.size(); ++t) {
    const HuberFit fit = takes_[t].fit(chosen);
    const double per_note =
        dot(fit.clipped, fit.clipped) / (static_cast<double>(fit.rows()) - static_cast<double>(fit.columns()));
    for (std::size_t group = 0; group < effects.size(); ++group) {
      const auto test = contains(chosen, group) ? std::nullopt : takes_[t].test(fit, group);
      if (test && test->info > least_info) effects[group].push_back({test->cents, per_note / test->info, weights_[t]});
    }
  }
  Overs overs;
  for (const auto& group : effects) overs.push_back(over_takes(group));
  return overs;
}

std::vector<std::optional<double>> TakesModel::ratios(std::span<const std::size_t> chosen) const {
  std::vector<std::optional<double>> ratios;
  for (const auto& over : over_takes_of_all(chosen))
    ratios.push_back(over ? std::optional(ratio_of(*over)) : std::nullopt);
  return ratios;
}

double TakesModel::usual_ratio(const Overs& overs) const {
  double sum = 0, count = 0;
  for (std::size_t group = 0; group < overs.size(); ++group) {
    if (!overs[group]) continue;
    sum += ratio_of(*overs[group]);
    count += 1;
  }
  return count > 0 ? std::max(1.0, sum / count) : 1;
}

GroupTest TakesModel::both(const GroupTest& notes, const GroupTest& takes) const {
  if (notes.cents * takes.cents <= 0) {  // two answers are none
    GroupTest none = takes;
    none.p = 1;
    return none;
  }
  GroupTest test = notes.p > takes.p ? notes : takes;
  test.cents = takes.cents;
  test.se = std::fabs(test.cents / test.t);
  return test;
}

std::vector<std::optional<GroupTest>> TakesModel::tests(std::span<const std::size_t> chosen) const {
  const Overs overs = over_takes_of_all(chosen);
  const double usual = usual_ratio(overs);
  const HuberFit fit = notes_.fit(chosen);
  std::vector<std::optional<GroupTest>> tests(overs.size());
  for (std::size_t group = 0; group < tests.size(); ++group) {
    if (!overs[group]) continue;
    const GroupTest by_takes = test_of(mean_over_takes(*overs[group], usual));
    if (by_takes_alone_[group]) {
      tests[group] = by_takes;
    } else if (const auto by_notes = notes_.test(fit, group)) {
      tests[group] = both(*by_notes, by_takes);
    }
  }
  return tests;
}

std::vector<std::optional<TakeEffect>> TakesModel::sizes_by_take(std::span<const std::size_t> chosen,
                                                                 std::size_t group) const {
  std::vector<std::optional<TakeEffect>> sizes(takes_.size());
  for (std::size_t t = 0; t < takes_.size(); ++t)
    if (const auto effect = takes_[t].effect(chosen, group))
      sizes[t] = TakeEffect{effect->beta, effect->se * effect->se, weights_[t]};
  return sizes;
}

std::optional<OverTakes> TakesModel::over_takes_of_size(std::span<const std::size_t> chosen, std::size_t group) const {
  std::vector<TakeEffect> effects;
  for (const auto& size : sizes_by_take(chosen, group))
    if (size) effects.push_back(*size);
  return over_takes(effects);
}

std::optional<Effect> TakesModel::effect(std::span<const std::size_t> chosen, std::size_t group) const {
  const auto over = over_takes_of_size(chosen, group);
  if (!over) return std::nullopt;
  Effect size = mean_over_takes(*over, usual_ratio(over_takes_of_all(chosen)));
  const auto by_notes = notes_.effect(chosen, group);
  if (by_takes_alone_[group] || !by_notes) return size;
  const double takes = size.se * size.se, notes = by_notes->se * by_notes->se;
  size.df = takes > notes ? size.df : by_notes->df;  // of the larger part
  size.se = std::sqrt(std::max({takes, notes, takes + notes - over->expected}));
  return size;
}

}  // namespace firmus::habits
