// Step by step: which groups of notes are chronically off, the surest first, each given the ones before it.
#pragma once
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "series_regression.hpp"

namespace firmus::habits {

/// What the choice asks of the data, one take or several.
class SelectionModel {
 public:
  virtual ~SelectionModel() = default;
  /// Each group, tested given the groups chosen; none for these, and for what they leave too little of.
  virtual std::vector<std::optional<GroupTest>> tests(std::span<const std::size_t> chosen) const = 0;
  /// Size of one of the groups chosen.
  virtual std::optional<EffectEstimate> effect(std::span<const std::size_t> chosen, std::size_t group) const = 0;
  virtual double cosine(std::size_t a, std::size_t b) const = 0;
};

inline constexpr double family_alpha = 0.05;        ///< chance of a false first finding, over all that is looked at
inline constexpr double smallest_habit_cents = 10;  ///< less is not heard as a fault
inline constexpr std::size_t most_effects = 8;

struct SelectedEffect {
  std::size_t group = 0;
  GroupTest test;  ///< when it was chosen
  double p_adjusted = 1;
  double cents = 0;  ///< in the model of all findings
  std::pair<double, double> ci95;
  std::vector<std::size_t> same;         ///< groups of the same notes
  std::vector<std::size_t> confounders;  ///< groups that could as well be what is off
};

struct Selection {
  std::vector<SelectedEffect> effects;
  std::vector<std::size_t> chosen;               ///< with those dropped as too small
  std::vector<std::optional<GroupTest>> others;  ///< every group given the chosen ones; none for these
};

/// `shares`: of the error rate, one for each group, together at most 1.
Selection forward_selection(const SelectionModel& model, std::span<const double> alpha_weights);

/// The t that a group with this share must pass.
double critical_t(double share, double df);

/// Occurrences still needed until a group with `count` of them is settled nine times in ten, if it is as large as it
/// looks.
double additional_occurrences(int count, double t, double critical);

/// The smallest size that would have been found nine times in ten.
double minimum_detectable_cents(const GroupTest& test, double share);

}  // namespace firmus::habits
