// The errors of a take made ready for regression: rows weighted by their standard errors, and prewhitened for the lag-1
// autocorrelation of the errors (AR(1) model: e[k] = rho e[k-1] + white noise).
#pragma once
#include <optional>
#include <vector>

#include "design_matrix.hpp"

namespace firmus::habits {

/// One row a judged note, in the order sung.
struct NoteSeries {
  Column cents;              ///< error of the note
  Column se_cents;           ///< its standard error
  Column position;           ///< of the written note in its melody, from -1/2 to 1/2
  Column weight;             ///< additional factor of the row; empty: 1 for all
  std::vector<bool> begins;  ///< true at the first note of a melody, where the AR(1) chain restarts; empty: row 0 only
  DesignMatrix members;      ///< for each group an indicator column: 1 where the note belongs to it, else 0
  std::size_t size() const { return cents.size(); }
};

/// The regression after weighting and whitening. Its errors are nearly uncorrelated and of equal variance.
struct WhitenedSeries {
  Column y;
  DesignMatrix base;    ///< intercept and linear drift over the take
  DesignMatrix groups;  ///< as NoteSeries::members
  double rho = 0;       ///< lag-1 autocorrelation that was removed
};

/// Prais-Winsten transform (Prais and Winsten 1954) with the estimated rho. Needs at least 4 rows.
WhitenedSeries whiten(const NoteSeries& series);
/// The same with a given rho, 0 <= rho < 1.
WhitenedSeries whiten(const NoteSeries& series, double rho);

/// Lag-1 autocorrelation of a series with median 0, values clipped to 2.5 robust sigmas first.
struct Lag1Autocorrelation {
  double raw = 0;        ///< of the sample
  double corrected = 0;  ///< with the bias of a short series removed: (raw + 2/n) / (1 - 4/n)
  double rho = 0;        ///< shrunk towards the prior with a weight of 28 notes, and limited to 0 ... 0.8
};
/// `prior`: what is usual for series of this kind; of note errors, 0.3.
inline constexpr double usual_autocorrelation = 0.3;
Lag1Autocorrelation lag1_autocorrelation(const Column& centred, double prior = usual_autocorrelation);

/// Errors minus their Theil-Sen slope over the take and minus their median.
Column detrended(const NoteSeries& series);

}  // namespace firmus::habits
