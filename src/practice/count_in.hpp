// Count-in clicks on the beats before a melody, and its tempo.
#pragma once
#include <cstdint>
#include <span>
#include <vector>

#include "firmus/tone.hpp"

namespace firmus::practice {

/// Tempo at a note: that of the options, else as written, else 90.
double quarters_per_minute(const Melody& melody, const WrittenNote& note, const ToneOptions& options);

/// Start of the melody's first note or rest.
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
