// The f0 track of a take by a general-purpose tracker and the level of the take: the input of note segmentation.
#pragma once
#include <string>
#include <vector>

#include "sound.hpp"

namespace firmus::bench {

inline constexpr unsigned track_hop_samples = 220;
inline constexpr double lowest_sung_hz = 60, highest_sung_hz = 1300;  ///< voices; a wider range only adds errors

struct F0Track {
  double hop_s = 0;
  std::vector<double> f0_hz;  ///< 0: unvoiced
  std::size_t frame_at(double time_s) const;
  std::vector<double> voiced(std::size_t from, std::size_t to) const;
};

/// `tracker`: yinfast (frames under `least_confidence` unvoiced), yinfft, RAPT or SWIPE'. Frame i of the
/// result is frame i + `lag_frames` of the tracker.
F0Track track_f0(const Sound& sound, const std::string& tracker, double least_confidence, int lag_frames);

/// Level of each hop in dB, averaged over neighbouring hops: of the whole signal, and above 1 kHz, where vowels are
/// much louder than hummed consonants.
struct Levels {
  std::vector<double> all_db, high_db;
};
Levels levels(const Sound& sound);

double median(std::vector<double> values);
double share_of(std::vector<double> values, double at);  ///< quantile `at`: 0 the lowest, 1 the highest

}  // namespace firmus::bench
