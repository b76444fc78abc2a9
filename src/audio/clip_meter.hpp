// Clipping: flat tops at the take's own extreme. A tone's own round top is flat too, by the steps of quantisation, but
// falls off slowly; a cut one breaks off at an edge. Runs over blocks; the extreme is only known at the end.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace firmus::audio {

class ClipMeter {
 public:
  /// `quantum`: the file's step at large values, of a full scale of 1.
  explicit ClipMeter(double quantum) : quantum_(static_cast<float>(quantum)) {}

  void add(std::span<const float> block);

  struct Reading {
    std::int64_t clipped_samples = 0;  ///< in flat runs at the extreme
    std::int64_t runs = 0;
    double extreme = 0;  ///< the largest absolute value
  };
  /// Call once, at the end.
  Reading finish();

 private:
  /// One polarity: positive and negative halves are often cut at different heights.
  struct Side {
    float extreme = 0;
    float clip_level = 0;  ///< height of the runs counted so far
    std::int64_t samples = 0, runs = 0;
    std::size_t scanned_to = 0;  ///< index in window_ behind the last run
  };
  void scan(std::size_t begin, std::size_t end);
  void scan_side(Side& side, float sign, std::size_t begin, std::size_t end);
  std::size_t measure_run(Side& side, float sign, std::size_t at);

  float quantum_;
  std::vector<float> window_;  ///< the last block's tail and the new block
  std::size_t scanned_ = 0;    ///< index in window_ up to which all was looked at
  Side upper_, lower_;
};

}  // namespace firmus::audio
