// firmus check: the options as typed, and what they mean.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "firmus/batch.hpp"
#include "line_options.hpp"
#include "settings_options.hpp"
#include "take_options.hpp"

namespace firmus::cli {

struct RawCheck {
  std::vector<std::string> takes;
  RawTakeOptions reading;
  RawSettings settings;
  RawLine line;
  std::optional<std::string> melody, bars, out, format, jobs, require, student, date, takes_from, trace, weights, since,
      key;
  bool quiet = false, schema = false, fields = false;
};

struct CheckCommand {
  CheckOptions options;
  std::optional<std::string> melody_path;
  OutputFormat format = OutputFormat::text;
  bool quiet = false;
};

void add_check_options(Arguments& arguments, RawCheck& raw);

/// Checks all options, finds the melody among the takes where there is no --melody, opens folders, and reads the
/// melody. Throws InputError.
CheckCommand resolve(RawCheck raw);

}  // namespace firmus::cli
