// Regression of one series of errors on intercept, drift and groups, and the test for adding one more group.
#pragma once
#include <optional>
#include <span>

#include "ar1_whitening.hpp"
#include "huber_regression.hpp"

namespace firmus::habits {

/// Test of one group given those selected before it.
struct GroupTest {
  double cents = 0, se = 0;    ///< size of its effect and standard error
  double t = 0, df = 0;        ///< Student's t and its degrees of freedom
  double p = 1;                ///< two-sided
  double effective_notes = 0;  ///< squared length of the group's column orthogonal to the other columns
};

class SeriesRegression {
 public:
  explicit SeriesRegression(WhitenedSeries whitened);

  /// The fit with these groups. Groups without notes here, or linearly dependent on the others, are left out of it;
  /// `kept` tells for base columns and groups which are in.
  HuberFit fit(std::span<const std::size_t> selected, std::vector<bool>* kept = nullptr) const;
  /// Test for adding a group to a fit: t-test of its partial regression (Frisch and Waugh 1933) on the winsorized
  /// residuals. None when less than 35 % of the length of its column is orthogonal to the columns in the fit.
  std::optional<GroupTest> test(const HuberFit& fit, std::size_t group) const;
  /// Effect of one of the groups selected, in the fit with all of them; none when it is left out of the fit.
  std::optional<EffectEstimate> effect(std::span<const std::size_t> selected, std::size_t group) const;
  /// Correlation of two groups' columns after intercept and drift are projected out: 1 for the same notes, -1 for
  /// complements.
  double cosine(std::size_t a, std::size_t b) const;
  const WhitenedSeries& whitened() const { return whitened_; }

 private:
  WhitenedSeries whitened_;
  DesignMatrix partialled_groups_;       ///< the groups' columns, intercept and drift projected out
  std::vector<double> effective_notes_;  ///< their squared lengths
};

}  // namespace firmus::habits
