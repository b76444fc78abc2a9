// The takes of one student by date, and the figures of each date.
#pragma once
#include <span>
#include <vector>

#include "firmus/trend.hpp"

namespace firmus::trend {

/// Takes of one student, in the order to be told: by date where all have one, else as given.
struct Ordered {
  std::vector<const TrendTake*> takes;
  std::vector<std::size_t> point_of;  ///< for each take its point
  std::vector<TrendPoint> points;
  bool by_date = true;
};
Ordered order_takes(std::vector<const TrendTake*> takes);

/// The error of a note that its take was judged by; none where it is no judged note, or another note.
std::optional<double> error_that_counts(const Result& result, const NoteResult& note);

/// Weeks between two days, YYYY-MM-DD; none where one is no day of the calendar.
std::optional<double> weeks_between(const std::string& from, const std::string& to);

}  // namespace firmus::trend
