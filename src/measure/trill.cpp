#include "trill.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::measure {
namespace {

constexpr double trill_edge_s = 0.06;  // of scoop, glide and release, at either end
constexpr double least_range_cents = 70, slowest_trill_hz = 4, fastest_trill_hz = 12;
constexpr int least_crossings = 4;
// Frames within 30 % of the way from the middle to either pitch: 67 % or more in trills of the simulated singer, 59 %
// at most in vibrato of 80 cents either way (24 takes each).
constexpr double near_pitch = 0.3, least_share_near = 0.63;
constexpr double crosses_by = 0.5;  // of the way from the middle to either pitch

}  // namespace

bool is_trill(const NoteSeries& series) {
  std::vector<double> cents;
  for (std::size_t i = 0; i < series.size(); ++i)
    if (series.time_s[i] > series.time_s.front() + trill_edge_s &&
        series.time_s[i] < series.time_s.back() - trill_edge_s)
      cents.push_back(series.cents[i]);
  if (cents.size() < 2) return false;
  std::vector<double> sorted = cents;
  std::ranges::sort(sorted);
  const double low = sorted[sorted.size() / 10], high = sorted[sorted.size() - 1 - sorted.size() / 10];
  if (high - low < least_range_cents) return false;
  const double middle = (low + high) / 2, half = (high - low) / 2;
  int crossings = 0, side = 0;
  std::ptrdiff_t near = 0;
  for (const double value : cents) {
    near += std::abs(std::abs(value - middle) - half) < near_pitch * half ? 1 : 0;
    const int now = value > middle + crosses_by * half ? 1 : value < middle - crosses_by * half ? -1 : side;
    crossings += side != 0 && now != side ? 1 : 0;
    side = now;
  }
  const double rate_hz = crossings / (2 * static_cast<double>(cents.size()) * frame_s);
  return crossings >= least_crossings && rate_hz >= slowest_trill_hz && rate_hz <= fastest_trill_hz &&
         static_cast<double>(near) >= least_share_near * static_cast<double>(cents.size());
}

}  // namespace firmus::measure
