// The options that replace settings of a melody, shared by commands.
#pragma once
#include <optional>
#include <string>

#include "arguments.hpp"
#include "firmus/batch.hpp"

namespace firmus::cli {

struct RawSettings {
  std::optional<std::string> reference, tolerance, a4, tuning;
};

void add_settings_options(Arguments& arguments, RawSettings& raw);
/// Those of them that change the melody: --a4, --tuning.
void add_tuning_options(Arguments& arguments, RawSettings& raw);

/// Throws InputError.
SettingsOverrides resolve(const RawSettings& raw);

}  // namespace firmus::cli
