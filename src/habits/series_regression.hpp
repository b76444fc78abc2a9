// Whether one more group of notes is off, given the groups found before it.
#pragma once
#include <optional>
#include <span>

#include "ar1_whitening.hpp"
#include "huber_regression.hpp"

namespace firmus::habits {

/// What a group shows: how far off its notes are, and how often chance alone would show as much.
struct GroupTest {
  double cents = 0, se = 0, t = 0, df = 0, p = 1;
  double effective_notes = 0;  ///< notes' worth of the group that the other columns do not explain
};

/// A regression of one series on level, slope and the groups chosen.
class SeriesRegression {
 public:
  explicit SeriesRegression(WhitenedSeries whitened);

  /// The fit with these groups; groups that have no notes here, or that the others make up, are left out of it.
  HuberFit fit(std::span<const std::size_t> chosen, std::vector<bool>* kept = nullptr) const;
  /// One more group, tested on the clipped residuals of a fit. None when the groups chosen leave too little of it.
  std::optional<GroupTest> test(const HuberFit& fit, std::size_t group) const;
  /// Size of one of the groups chosen; none when it is not in the fit.
  std::optional<EffectEstimate> effect(std::span<const std::size_t> chosen, std::size_t group) const;
  /// How much two groups are the same notes (1 or -1), level and slope taken away.
  double cosine(std::size_t a, std::size_t b) const;
  const WhitenedSeries& whitened() const { return whitened_; }

 private:
  WhitenedSeries whitened_;
  std::vector<Column> partialled_groups_;  ///< the groups, level and slope taken away
  std::vector<double> effective_notes_;    ///< their squared lengths
};

}  // namespace firmus::habits
