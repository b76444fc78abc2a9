// Invalid sample values: not a number, infinite, or absurdly large.
#pragma once
#include <cstdint>
#include <span>

namespace firmus::audio {

/// Sets them to 0 and returns their number.
std::int64_t sanitize(std::span<float> values);

}  // namespace firmus::audio
