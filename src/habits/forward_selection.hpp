// Forward selection of groups: the one with the smallest adjusted p enters the regression, the others are tested given
// it, and so on until none is significant.
#pragma once
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "series_regression.hpp"

namespace firmus::habits {

/// What forward selection needs from the data, of one take or of several.
class SelectionModel {
 public:
  virtual ~SelectionModel() = default;
  /// Each group tested given the groups selected; none for these, and for groups too collinear with them.
  virtual std::vector<std::optional<GroupTest>> tests(std::span<const std::size_t> selected) const = 0;
  /// Effect of one of the groups selected, in the model with all of them.
  virtual std::optional<EffectEstimate> effect(std::span<const std::size_t> selected, std::size_t group) const = 0;
  /// Correlation of two groups' columns (see SeriesRegression::cosine).
  virtual double cosine(std::size_t a, std::size_t b) const = 0;
};

inline constexpr double family_alpha = 0.05;        ///< family-wise error rate over all groups tested
inline constexpr double smallest_habit_cents = 10;  ///< less is not heard as a fault
inline constexpr std::size_t most_effects = 8;
inline constexpr double alias_cosine_squared = 1 - 1e-6;  ///< above it two groups are the same notes, up to rounding

struct SelectedEffect {
  std::size_t group = 0;
  GroupTest test;         ///< in the step in which it was selected
  double p_adjusted = 1;  ///< of that test: p / alpha weight, at most 1
  double cents = 0;       ///< in the model with all groups selected
  std::pair<double, double> ci95;
  std::vector<std::size_t> aliases;      ///< groups of the same notes, or of all the others
  std::vector<std::size_t> confounders;  ///< overlapping groups that leave it insignificant when they take its place
};

struct Selection {
  std::vector<SelectedEffect> effects;              ///< in the order of selection; those under 10 cents dropped
  std::vector<std::size_t> selected;                ///< all groups selected, with those dropped
  std::vector<std::optional<GroupTest>> remaining;  ///< every group given those selected; none for these
};

/// `alpha_weights`: one for each group, together at most 1; 0 for groups that cannot be selected. A group is
/// significant when p / weight is at most family_alpha (weighted Bonferroni: Rosenthal and Rubin 1983).
Selection forward_selection(const SelectionModel& model, std::span<const double> alpha_weights);

/// |t| above which a group with this alpha weight is significant.
double critical_t(double alpha_weight, double df);

/// Required sample size, in notes beyond the `count` that gave `t`, from further takes like those given: the group is
/// then significant with 90 % power if its effect is as large as estimated. At least 1.
double additional_occurrences(int count, double t, double critical);

/// Minimum detectable effect: the size in cents that would have been found, had it been in these very takes, with 90 %
/// power.
double minimum_detectable_cents(const GroupTest& test, double alpha_weight);

}  // namespace firmus::habits
