// A straight line through values at dates, where what is left over may persist from date to date: good and bad weeks.
#pragma once
#include <span>
#include <utility>

namespace firmus::trend {

/// The value of a figure at a date.
struct DatedValue {
  double week = 0;  ///< increasing
  double value = 0;
  double variance = 0;  ///< of the value, from the notes that it was computed from; used by serial_line_of_notes alone
};

struct SerialLine {
  double first = 0, last = 0;  ///< of the line, at the first and the last date
  double slope = 0;            ///< per week
  std::pair<double, double> ci95;
  double p = 1;  ///< two-sided, of a slope of 0
};

/// The line by generalized least squares, where the level of a date (the singer's form that day) varies about it with
/// an unknown standard deviation and an unknown autocorrelation from week to week, and the value also by its own known
/// variance. A few dates cannot tell the two unknowns: the line is the mean over a grid of both, weighted by their
/// restricted likelihood (Patterson and Thompson 1971) and a prior for the standard deviation; p and interval are those
/// of the mixture. In cents. Needs 3 values and two different dates.
SerialLine serial_line_of_notes(std::span<const DatedValue> values);

/// The same for figures of any unit whose variance is unknown but for the scatter about the line: the scale is
/// integrated out, so that each autocorrelation gives a t distribution. `least_sd`: lower limit of the scatter.
SerialLine serial_line(std::span<const DatedValue> values, double least_sd);

}  // namespace firmus::trend
