#include "steady_part.hpp"

#include <algorithm>
#include <cmath>

#include "robust.hpp"

namespace firmus::measure {
namespace {

constexpr double attack_s = 0.020, release_s = 0.025;  ///< always left out: the sound is still rising or falling
constexpr double quiet_db = 15;           ///< frames this far under the note's loud part belong to attack or release
constexpr double least_spread_cents = 5;  ///< natural wander; a smaller spread would cut honest frames
constexpr double away_spreads = 2.5;      ///< an end this far off has not arrived
constexpr double arriving_cents_per_s = 250;  ///< faster than wander (8 cents in 0.1 s): still on the way

double loud_level(const NoteSeries& series) {
  std::vector<double> levels = series.level_db;
  const auto place = levels.begin() + static_cast<std::ptrdiff_t>(levels.size() * 3 / 4);
  std::nth_element(levels.begin(), place, levels.end());
  return *place;
}

/// Steps over the ends in time and level; never past the middle half.
Part sounding_part(const NoteSeries& series) {
  const std::size_t n = series.size(), keep = n / 4;
  const double loud = loud_level(series);
  Part part{0, n};
  while (part.from < keep && (series.time_s[part.from] < series.time_s[0] + attack_s - 1e-9 ||
                              series.level_db[part.from] < loud - quiet_db))
    ++part.from;
  while (n - part.to < keep && (series.time_s[part.to - 1] > series.time_s[n - 1] - release_s + 1e-9 ||
                                series.level_db[part.to - 1] < loud - quiet_db))
    --part.to;
  return part;
}

/// Slope over three frames, towards the inside.
double slope_at(const NoteSeries& series, const std::vector<double>& cents, std::size_t i, std::size_t j) {
  return (cents[j] - cents[i]) / std::abs(series.time_s[j] - series.time_s[i]);
}

/// Whether the frame at `i` (its neighbour inside is `j`) has not arrived: far off, or heading to the centre fast.
bool on_the_way(const NoteSeries& series, const std::vector<double>& cents, std::size_t i, std::size_t j, double centre,
                double spread) {
  const double off = cents[i] - centre;
  if (std::abs(off) > away_spreads * spread) return true;
  const double slope = slope_at(series, cents, i, j);
  return std::abs(slope) > arriving_cents_per_s && slope * off < 0 && std::abs(off) > 0.5 * spread;
}

}  // namespace

Part find_steady_part(const NoteSeries& series, const std::vector<double>& still_cents) {
  const Part sounding = sounding_part(series);
  const std::size_t fifth = sounding.size() / 5, keep = sounding.size() / 4;
  const std::vector<double> inner(still_cents.begin() + static_cast<std::ptrdiff_t>(sounding.from + fifth),
                                  still_cents.begin() + static_cast<std::ptrdiff_t>(sounding.to - fifth));
  const double centre = median(inner);
  const double spread = std::max(robust_spread(inner, centre), least_spread_cents);
  Part part = sounding;
  // The last frame that has not arrived ends the approach, wherever the ones before it wander.
  for (std::size_t i = sounding.from; i < sounding.from + keep && i + 2 < still_cents.size(); ++i)
    if (on_the_way(series, still_cents, i, i + 2, centre, spread)) part.from = i + 1;
  for (std::size_t i = sounding.to; i-- > sounding.to - keep && i >= 2;)
    if (on_the_way(series, still_cents, i, i - 2, centre, spread)) part.to = i;
  return part;
}

}  // namespace firmus::measure
