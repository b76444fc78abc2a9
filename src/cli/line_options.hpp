// --part, --tune and --verse: which line of a score is the melody.
#pragma once
#include <optional>
#include <string>

#include "arguments.hpp"
#include "firmus/melody.hpp"

namespace firmus::cli {

struct RawLine {
  std::optional<std::string> part, tune, verse;
};

void add_line_options(Arguments& arguments, RawLine& raw);
LineChoice resolve(const RawLine& raw);

}  // namespace firmus::cli
