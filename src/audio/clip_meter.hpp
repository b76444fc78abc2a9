// Clipping: runs of nearly equal samples at the recording's extreme value. The peak of a pure tone has such a run too,
// because of quantisation, but the signal falls slowly beside it; beside a clipped run it falls at once. Works block by
// block: the extreme is known only at the end.
#pragma once
#include <array>
#include <cstdint>
#include <span>
#include <vector>

namespace firmus::audio {

class ClipMeter {
 public:
  /// `quantum`: the quantisation step of the file at large values, relative to full scale.
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
  /// One polarity: positive and negative peaks are often clipped at different levels.
  struct Side {
    float extreme = 0;
    float clip_level = 0;  ///< level of the runs counted so far
    std::int64_t samples = 0, runs = 0;
    std::size_t scanned_to = 0;  ///< index in window_ after the last run
  };
  void scan(std::size_t begin, std::size_t end);
  void scan_side(Side& side, float sign, std::size_t begin, std::size_t end);
  std::size_t measure_run(Side& side, float sign, std::size_t at);

  float quantum_;
  std::vector<float> window_;  ///< the last block's tail and the new block
  std::size_t scanned_ = 0;    ///< index in window_ up to which samples have been examined
  Side upper_, lower_;
};

}  // namespace firmus::audio
