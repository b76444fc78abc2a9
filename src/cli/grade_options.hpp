// firmus grade: the options as typed, and what they mean.
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

struct RawGrade {
  std::vector<std::string> what;
  RawTakeOptions reading;
  RawSettings settings;
  RawLine line;
  std::optional<std::string> melody, bars, roster, match, out, format, jobs, require, date, shard;
  bool fresh = false, quiet = false;
};

struct GradeCommand {
  GradeOptions options;
  OutputFormat format = OutputFormat::text;
  bool quiet = false;
};

void add_grade_options(Arguments& arguments, RawGrade& raw);

/// Opens no file. Throws InputError.
GradeCommand resolve(const RawGrade& raw);

}  // namespace firmus::cli
