// The selection model of several takes, of one student or of a class (a take a student). A group is tested twice, and
// the larger p counts (intersection-union test, Berger 1982):
// - over written notes, each averaged over the takes: one written note that is always wrong makes no habit;
// - over takes, by how much the group's effect varies between them: one bad take makes no habit.
#pragma once
#include "forward_selection.hpp"

namespace firmus::habits {

/// The series of one take, with all tested groups as its members.
struct TakeSeries {
  NoteSeries series;
  std::vector<std::size_t> note;  ///< for each row its written note: a row of WrittenNotes
};

/// The written notes of all melodies that were judged in any take, in order, with all tested groups as members.
struct WrittenNotes {
  Column position;           ///< as NoteSeries::position
  std::vector<bool> begins;  ///< the first note of a melody
  DesignMatrix members;
  std::size_t size() const { return position.size(); }
};

/// A group's effect in one take, its variance there, and the weight of the take.
struct TakeEffect {
  double cents = 0, variance = 0, weight = 0;
};

/// Weighted mean of a group's effect over takes, with its variance estimated in two ways.
struct TakeMean {
  double mean = 0;
  double within_variance = 0;   ///< of the mean, from the variances within the takes
  double between_variance = 0;  ///< of the mean, from the scatter of the effects between takes
  std::size_t takes = 0;
};
std::optional<TakeMean> mean_of_takes(std::span<const TakeEffect> effects);  ///< none for fewer than two takes

/// Between-take over within-take variance: 1 when takes differ by their noise alone. 1 when the latter is 0.
double dispersion_ratio(const TakeMean& mean);

/// The mean with its standard error: the within-take variance times the dispersion ratio, at least 1. With few takes a
/// group's own ratio is unreliable: it is shrunk towards `pooled_dispersion` with a prior weight of 12 takes (empirical
/// Bayes, as Smyth 2004 for variances of many genes).
EffectEstimate pooled_effect(const TakeMean& take_mean, double pooled_dispersion);

class SeveralTakesModel : public SelectionModel {
 public:
  /// `tested_by_takes_only`: groups of a single written note, which the test over written notes cannot judge.
  SeveralTakesModel(const std::vector<TakeSeries>& takes, WrittenNotes notes, std::vector<bool> tested_by_takes_only);
  std::vector<std::optional<GroupTest>> tests(std::span<const std::size_t> selected) const override;
  std::optional<EffectEstimate> effect(std::span<const std::size_t> selected, std::size_t group) const override;
  double cosine(std::size_t a, std::size_t b) const override { return notes_.cosine(a, b); }
  /// Effect of one of the groups selected, by take; none where it is not in the take's fit.
  std::vector<std::optional<TakeEffect>> effects_by_take(std::span<const std::size_t> selected,
                                                         std::size_t group) const;
  /// Dispersion ratio of each group that is not selected; none where fewer than two takes have enough of it.
  std::vector<std::optional<double>> dispersion_ratios(std::span<const std::size_t> selected) const;

 private:
  using TakeMeans = std::vector<std::optional<TakeMean>>;
  TakeMeans means_of_remaining(std::span<const std::size_t> selected) const;
  std::optional<TakeMean> mean_of_selected(std::span<const std::size_t> selected, std::size_t group) const;

  std::vector<SeriesRegression> takes_;
  std::vector<double> weights_;  ///< of the takes: 1 / (scale^2 + median scale^2)
  std::vector<bool> tested_by_takes_only_;
  SeriesRegression notes_;  ///< of the written notes, averaged over takes
};

}  // namespace firmus::habits
