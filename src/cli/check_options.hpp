// firmus check: the options as typed, and what they mean.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "firmus/take.hpp"
#include "settings_options.hpp"
#include "take_options.hpp"

namespace firmus::cli {

struct RawCheck {
  std::vector<std::string> takes;
  RawTakeOptions reading;
  RawSettings settings;
  std::optional<std::string> melody, out, format, jobs, require, student, date, takes_from, trace, weights;
  bool quiet = false, schema = false, fields = false;
};

enum class Format { text, json, csv };

struct CheckPlan {
  std::vector<std::string> takes;
  std::optional<std::string> melody_path;
  std::optional<Melody> melody;
  std::optional<std::string> out, trace;
  Format format = Format::text;
  std::optional<double> require_percent;
  int jobs = 1;
  bool quiet = false;
  ReadOptions reading;
  MeasureOptions measuring;
};

void add_check_options(Arguments& arguments, RawCheck& raw);

/// Checks all options, collects the takes and reads the melody. Throws InputError.
CheckPlan resolve(const RawCheck& raw);

}  // namespace firmus::cli
