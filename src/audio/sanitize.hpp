// Values that are no sound: not a number, infinite, or absurdly large.
#pragma once
#include <cstdint>
#include <span>

namespace firmus::audio {

/// Sets them to 0; returns how many there were.
std::int64_t sanitize(std::span<float> values);

}  // namespace firmus::audio
