// Several takes (one student's, or a class: a student is a take) as a model to choose from. A group must be off twice
// over: by its notes, each averaged over the takes (not one wrong spot), and by its takes (not one take's wandering).
#pragma once
#include "forward_selection.hpp"

namespace firmus::habits {

/// One take with all groups as its members; `note[k]` says which written note (of all melodies) its row k is.
struct TakeSeries {
  NoteSeries series;
  std::vector<std::size_t> note;
};

/// The written notes that were sung in any take, in order, with all groups as members.
struct WrittenNotes {
  Column position;
  std::vector<bool> begins;
  std::vector<Column> members;
  std::size_t size() const { return position.size(); }
};

/// A group's size in each take, its variance there, and the take's weight.
struct TakeEffect {
  double cents = 0, variance = 0, weight = 0;
};
/// Over takes: mean, variance that the takes' own noise explains, variance that they show.
struct TakeMean {
  double mean = 0, within_variance = 0, between_variance = 0;
  std::size_t takes = 0;
};
std::optional<TakeMean> mean_of_takes(std::span<const TakeEffect> effects);  ///< none under two takes
/// Mean with its standard error, the ratio of shown to expected variance drawn towards `pooled_dispersion`.
EffectEstimate pooled_effect(const TakeMean& take_mean, double pooled_dispersion);

class SeveralTakesModel : public SelectionModel {
 public:
  /// `tested_by_takes_only`: groups of one written note, which no average over notes can tell.
  SeveralTakesModel(const std::vector<TakeSeries>& takes, WrittenNotes notes, std::vector<bool> tested_by_takes_only);
  std::vector<std::optional<GroupTest>> tests(std::span<const std::size_t> chosen) const override;
  std::optional<EffectEstimate> effect(std::span<const std::size_t> chosen, std::size_t group) const override;
  double cosine(std::size_t a, std::size_t b) const override { return notes_.cosine(a, b); }
  /// Size of one of the groups chosen in each take; none where it is not in the take's fit.
  std::vector<std::optional<TakeEffect>> effects_by_take(std::span<const std::size_t> chosen, std::size_t group) const;
  /// Shown over expected variance between takes, of each group that is not chosen; none where it cannot be told.
  std::vector<std::optional<double>> dispersion_ratios(std::span<const std::size_t> chosen) const;

 private:
  using TakeMeans = std::vector<std::optional<TakeMean>>;
  TakeMeans residual_means(std::span<const std::size_t> chosen) const;
  std::optional<TakeMean> effect_mean(std::span<const std::size_t> chosen, std::size_t group) const;
  double pooled_dispersion(const TakeMeans& means) const;
  GroupTest intersection_union(const GroupTest& notes, const GroupTest& takes) const;

  std::vector<SeriesRegression> takes_;
  std::vector<double> weights_;
  std::vector<bool> tested_by_takes_only_;
  SeriesRegression notes_;
};

}  // namespace firmus::habits
