// Clicks on the beats before a melody, and the pace that they set.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/tone.hpp"

namespace firmus::practice {

/// The pace at a note: the one asked for, else as written, else the usual one.
double quarters_per_minute(const Melody& melody, const WrittenNote& note, const ToneOptions& options);

/// When the first token of the melody, a rest or a note, begins.
double melody_start_s(const Melody& melody, const ToneOptions& options);

class CountIn {
 public:
  CountIn(const Melody& melody, const ToneOptions& options);
  void add_to(std::span<float> block, std::int64_t block_begin) const;

 private:
  std::vector<std::int64_t> clicks_;
  double gain_;
};

}  // namespace firmus::practice
