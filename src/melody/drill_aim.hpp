// The value of a `drill:` header.
#pragma once
#include <optional>
#include <string_view>

#include "firmus/melody.hpp"

namespace firmus::melody {

/// Reads what drill_aim_text writes; none for any other text.
std::optional<DrillAim> parse_drill_aim(std::string_view text);

}  // namespace firmus::melody
