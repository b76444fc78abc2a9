#include "series_regression.hpp"

#include <cmath>

#include "base/student_t.hpp"

namespace firmus::habits {
namespace {

constexpr double min_remaining_cosine = 0.35;  // length of a column orthogonal to the others; less: too collinear
constexpr double negligible_effective_notes = 1e-6;

}  // namespace

SeriesRegression::SeriesRegression(WhitenedSeries whitened) : whitened_(std::move(whitened)) {
  QrFactorization qr;
  for (const Column& column : whitened_.base) qr.add(column);
  for (const Column& group : whitened_.groups) {
    partialled_groups_.push_back(qr.without_projection(group));
    effective_notes_.push_back(dot(partialled_groups_.back(), partialled_groups_.back()));
  }
}

HuberFit SeriesRegression::fit(std::span<const std::size_t> selected, std::vector<bool>* kept) const {
  DesignMatrix columns = whitened_.base;
  for (const std::size_t group : selected) columns.push_back(whitened_.groups[group]);
  return fit_huber(whitened_.y, drop_collinear(columns, kept));
}

std::optional<GroupTest> SeriesRegression::test(const HuberFit& fit, std::size_t group) const {
  const Column rest = fit.qr.without_projection(whitened_.groups[group]);
  GroupTest test;
  test.effective_notes = dot(rest, rest);
  if (test.effective_notes < negligible_effective_notes ||
      test.effective_notes < min_remaining_cosine * min_remaining_cosine * effective_notes_[group])
    return std::nullopt;
  test.df = static_cast<double>(fit.rows()) - static_cast<double>(fit.columns()) - 1;
  if (test.df < 1) return std::nullopt;
  const double product = dot(rest, fit.winsorized);
  test.cents = product / test.effective_notes;
  const double square = (dot(fit.winsorized, fit.winsorized) - test.cents * product) / test.df;
  if (square <= 0) return std::nullopt;
  test.se = std::sqrt(square / test.effective_notes);
  test.t = test.cents / test.se;
  test.p = two_sided_p(test.t, test.df);
  return test;
}

std::optional<EffectEstimate> SeriesRegression::effect(std::span<const std::size_t> selected, std::size_t group) const {
  std::vector<bool> kept;
  const HuberFit fitted = fit(selected, &kept);
  std::size_t column = 0;
  for (std::size_t i = 0; i < kept.size(); ++i) {
    const bool is_it = i >= whitened_.base.size() && selected[i - whitened_.base.size()] == group;
    if (is_it && !kept[i]) return std::nullopt;
    if (is_it) return effect_estimate(fitted, column);
    column += kept[i] ? 1 : 0;
  }
  return std::nullopt;
}

double SeriesRegression::cosine(std::size_t a, std::size_t b) const {
  const double lengths = std::sqrt(effective_notes_[a] * effective_notes_[b]);
  return lengths > negligible_effective_notes ? dot(partialled_groups_[a], partialled_groups_[b]) / lengths : 0;
}

}  // namespace firmus::habits
