// The errors of a take in the order they were sung, made ready for a regression: each weighted by what its pitch can be
// trusted to, and freed from what a note hands on to the next.
#pragma once
#include <optional>
#include <vector>

#include "design_matrix.hpp"

namespace firmus::habits {

struct NoteSeries {
  Column cents;                 ///< own error of each judged note
  Column se_cents;              ///< its standard error
  Column position;              ///< of the written note in its melody, -1/2 to 1/2
  Column weight;                ///< factor of the row; empty: 1 for all
  std::vector<bool> begins;     ///< the first note of a melody; empty: only the first of all
  std::vector<Column> members;  ///< for each group 1 where the note belongs to it, else 0
  std::size_t size() const { return cents.size(); }
};

struct WhitenedSeries {
  Column y;
  std::vector<Column> base;    ///< level and slope over the take
  std::vector<Column> groups;  ///< as the members given
  double rho = 0;              ///< how much of an error the next note takes over
};

/// Needs 4 notes or more.
WhitenedSeries whiten(const NoteSeries& series);
/// The same with a given rho.
WhitenedSeries whiten(const NoteSeries& series, double rho);

/// Estimate of rho, drawn towards 0.3 as if 28 notes had shown that, between 0 and 0.8. `centred` has median 0.
struct Lag1Autocorrelation {
  double raw = 0, corrected = 0, rho = 0;
};
Lag1Autocorrelation lag1_autocorrelation(const Column& centred);

/// Errors without the slope over the take (Theil-Sen), minus their median.
Column detrended(const NoteSeries& series);

}  // namespace firmus::habits
