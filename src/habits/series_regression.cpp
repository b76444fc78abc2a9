#include "series_regression.hpp"

#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double least_cosine_left = 0.35;  // of a group beside the others; with less it only echoes them
constexpr double smallest_info = 1e-6;

}  // namespace

SeriesModel::SeriesModel(Whitened whitened) : whitened_(std::move(whitened)) {
  Basis basis;
  for (const Column& column : whitened_.base) basis.add(column);
  for (const Column& group : whitened_.groups) {
    without_base_.push_back(basis.without_projection(group));
    info_.push_back(dot(without_base_.back(), without_base_.back()));
  }
}

HuberFit SeriesModel::fit(std::span<const std::size_t> chosen, std::vector<bool>* kept) const {
  std::vector<Column> columns = whitened_.base;
  for (const std::size_t group : chosen) columns.push_back(whitened_.groups[group]);
  return fit_huber(whitened_.y, independent(columns, kept));
}

std::optional<GroupTest> SeriesModel::test(const HuberFit& fit, std::size_t group) const {
  const Column rest = fit.basis.without_projection(whitened_.groups[group]);
  GroupTest test;
  test.info = dot(rest, rest);
  if (test.info < smallest_info || test.info < least_cosine_left * least_cosine_left * info_[group])
    return std::nullopt;
  test.df = static_cast<double>(fit.rows()) - static_cast<double>(fit.columns()) - 1;
  if (test.df < 1) return std::nullopt;
  const double product = dot(rest, fit.clipped);
  test.cents = product / test.info;
  const double square = (dot(fit.clipped, fit.clipped) - test.cents * product) / test.df;
  if (square <= 0) return std::nullopt;
  test.se = std::sqrt(square / test.info);
  test.t = test.cents / test.se;
  test.p = two_sided_p(test.t, test.df);
  return test;
}

std::optional<Effect> SeriesModel::effect(std::span<const std::size_t> chosen, std::size_t group) const {
  std::vector<bool> kept;
  const HuberFit fitted = fit(chosen, &kept);
  std::size_t column = 0;
  for (std::size_t i = 0; i < kept.size(); ++i) {
    const bool is_it = i >= whitened_.base.size() && chosen[i - whitened_.base.size()] == group;
    if (is_it && !kept[i]) return std::nullopt;
    if (is_it) return effect_of(fitted, column);
    column += kept[i] ? 1 : 0;
  }
  return std::nullopt;
}

double SeriesModel::cosine(std::size_t a, std::size_t b) const {
  const double lengths = std::sqrt(info_[a] * info_[b]);
  return lengths > smallest_info ? dot(without_base_[a], without_base_[b]) / lengths : 0;
}

}  // namespace firmus::habits
