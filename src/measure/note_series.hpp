// The voiced frames of one note: f0 in cents about the note's median, and level.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "base/frames.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {

inline constexpr double frame_s = frame_hop_s;

/// Only voiced frames that belong to the note. Times rise; across a gap they step by more than a frame.
struct NoteSeries {
  double middle_hz = 0;        ///< median f0: the reference of `cents`
  std::vector<double> time_s;  ///< from the take's start
  std::vector<double> cents;
  std::vector<double> level_db;  ///< dBFS, of 20 ms (two periods, if longer) about the frame
  int frames_within = 0;         ///< frames between the boundaries, voiced or not

  std::size_t size() const { return cents.size(); }
};

/// Voiced frames from onset to end, less those further than a fifth (700 cents) from the median: another pitch, octave
/// errors.
NoteSeries gather_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s);

/// Frames [from, to) of a series.
struct Part {
  std::size_t from = 0, to = 0;
  std::size_t size() const { return to > from ? to - from : 0; }
};

}  // namespace firmus::measure
