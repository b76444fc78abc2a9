// Pitch trackers with one interface: firmus, and general-purpose ones from Debian for comparison.
#pragma once
#include <functional>
#include <span>
#include <string>
#include <vector>

namespace firmus::bench {

inline constexpr double lowest_hz = 30, highest_hz = 2800;  ///< where all of them search

/// f0 of frames `hop_s` apart, 0 where unvoiced. Frame i is at i * hop_s plus a constant lag of the tracker.
struct Track {
  double hop_s = 0;
  std::vector<double> f0_hz;
};

struct Tracker {
  std::string name;
  bool is_ours = false;                                ///< its lag is 0 by contract, and it has targets to reach
  std::function<Track(std::span<const float>)> track;  ///< samples at 44.1 kHz
};

Tracker firmus_tracker();
/// `method`: yin, yinfft, yinfast, fcomb. `times`: oversampling factor, for trackers whose period estimate has a
/// resolution of one sample; the window is scaled with it.
Tracker aubio_tracker(const std::string& method, int times = 1);
std::vector<Tracker> sptk_trackers();  ///< RAPT and SWIPE'; none where sptk is not installed

/// The command `pitch` of the Speech Signal Processing Toolkit.
enum class Sptk { rapt, swipe };
bool sptk_is_there();
Track track_with_sptk(Sptk algorithm, std::span<const float> samples, unsigned rate_hz, double from_hz, double to_hz);

}  // namespace firmus::bench
