// The frames of one note as the note stages see them: cents around the note's own middle, and level.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "measure/measure.hpp"

namespace firmus::measure {

inline constexpr double frame_s = 0.005;

/// Only voiced frames that belong to the note; times rise, steps over gaps are longer than a frame.
struct NoteSeries {
  double middle_hz = 0;        ///< what `cents` are counted from
  std::vector<double> time_s;  ///< from the take's start
  std::vector<double> cents;
  std::vector<double> level_db;  ///< of 20 ms (two periods, if longer) around the frame, dBFS
  int frames_within = 0;         ///< frames between the boundaries, voiced or not

  std::size_t size() const { return cents.size(); }
};

/// Frames from onset to end, without those that are further than a fifth from the middle (another pitch, octave slips).
NoteSeries gather_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s);

/// Frames [from, to) of a series.
struct Part {
  std::size_t from = 0, to = 0;
  std::size_t size() const { return to > from ? to - from : 0; }
};

}  // namespace firmus::measure
