// What each stage saw, as CSV files for the maintainer's eyes.
#pragma once
#include <span>
#include <string>

#include "decode/decode.hpp"

namespace firmus::take {

/// Writes DIR/frames.csv, DIR/candidates.csv and DIR/notes.csv (columns: DEVELOPERS.md, "Look inside"). Throws
/// WriteError.
void write_trace(const std::string& dir, const Observations& observed, const Decoded& decoded,
                 std::span<const float> refined_hz);

}  // namespace firmus::take
