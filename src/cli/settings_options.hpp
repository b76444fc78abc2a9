// The options by which any command measures against a melody.
#pragma once
#include <optional>
#include <string>

#include "arguments.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus::cli {

struct RawSettings {
  std::optional<std::string> reference, tolerance, a4, tuning;
};

void add_settings_options(Arguments& arguments, RawSettings& raw);
/// Those of them that change the melody: --a4, --tuning.
void add_tuning_options(Arguments& arguments, RawSettings& raw);

/// The command line stands over the melody; the melody is tuned anew where that asks for it. Throws InputError.
Settings settle(const RawSettings& raw, std::optional<Melody>& melody);

}  // namespace firmus::cli
