// Singing of any length, minute by minute, and the melody that is sung: the same on every run.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

namespace firmus::bench {

/// In the melody text format: the headers, and the 75 notes of one minute: steps and small leaps within a tenth,
/// phrases of four bars.
std::string melody_head();
std::string melody_minute(std::uint64_t seed);

/// Those notes sung by a tidy amateur: a minute at singer::rate_hz.
std::vector<float> sing_minute(std::uint64_t seed);

}  // namespace firmus::bench
