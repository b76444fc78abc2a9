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
  std::vector<std::string> melodies, weights;
  std::optional<std::string> bars, roster, match, out, format, jobs, require, date, shard;
  std::optional<std::string> title, overrides, tries, rubric, pass, save;
  bool fresh = false, quiet = false, list = false;
};

struct GradeCommand {
  GradeOptions options;
  OutputFormat format = OutputFormat::text;
  bool quiet = false;
  bool list = false;  ///< say whose the files are, then end
};

void add_grade_options(Arguments& arguments, RawGrade& raw);

/// Opens no file. Throws InputError.
GradeCommand resolve(const RawGrade& raw);

}  // namespace firmus::cli
