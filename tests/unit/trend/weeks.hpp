// Results of invented weeks: a melody with seven rising sixths, each note with a given error.
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "firmus/trend.hpp"

namespace firmus::weeks {

/// A take of the melody; `cents` gives the own error of each note by its index.
TrendTake take(const std::string& student, const std::string& date, const std::function<double(int)>& cents);

/// Small errors that differ from note to note and from take to take, in about +-12 cents; the same on every machine.
double noise(int take, int note);
bool is_after_sixth(int note);  ///< reached by a rising major sixth

/// "2026-09-07" and the Mondays after it.
std::string monday(int week);

}  // namespace firmus::weeks
