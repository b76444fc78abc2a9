#include <fmt/format.h>

#include "base/base.hpp"
#include "base/utf8.hpp"
#include "firmus/error.hpp"

namespace firmus {
std::string display_name(std::string_view name) {
  std::string shown;
  while (!name.empty()) {
    const std::size_t length = utf8_sequence_length(name);
    const std::string_view sequence = name.substr(0, length ? length : 1);
    if (length && !is_control_character(sequence)) {
      shown += sequence;
    } else {
      for (const char c : sequence) shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(c));
    }
    name.remove_prefix(sequence.size());
  }
  return shown;
}

std::string to_line(const Problem& problem) {
  std::string line = display_name(problem.place.file);
  if (problem.place.line > 0) line += fmt::format(":{}:{}", problem.place.line, problem.place.column);
  if (!line.empty()) line += ": ";
  line += display_name(problem.what);
  if (!problem.remedy.empty()) line += "; " + display_name(problem.remedy);
  return line;
}

InputError::InputError(std::vector<Problem> problems)
    : std::runtime_error(problems.empty() ? std::string("bad input") : to_line(problems.front())),
      problems_(std::move(problems)) {}

}  // namespace firmus
