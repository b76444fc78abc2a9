// The takes of one student grouped by date, and the figures of each date.
#pragma once
#include <span>
#include <vector>

#include "firmus/trend.hpp"

namespace firmus::trend {

/// Takes of one student in chronological order when all have a date, else as given.
struct OrderedTakes {
  std::vector<const TrendTake*> takes;
  std::vector<std::size_t> point_of;  ///< for each take its position in `points`
  std::vector<TrendPoint> points;
  bool by_date = true;
};
OrderedTakes order_takes(std::vector<const TrendTake*> takes);

/// Error of a note against the reference of its take; none for notes that are not judged, or were sung as another note.
std::optional<double> scored_error(const Result& result, const NoteResult& note);

/// Weeks between two days, YYYY-MM-DD; none where one is not a valid date.
std::optional<double> weeks_between(const std::string& from, const std::string& to);

}  // namespace firmus::trend
