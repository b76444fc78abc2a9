#include <fmt/format.h>

#include "base/base.hpp"
#include "firmus/error.hpp"

namespace firmus {
namespace {

/// Length of the valid UTF-8 sequence that `text` begins with (RFC 3629: no overlong forms, no surrogates); 0 if none.
std::size_t sequence_length(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || text.size() < length) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte(i) & 0xC0) != 0x80) return 0;
  const unsigned second = byte(1);
  const bool overlong = (first == 0xE0 && second < 0xA0) || (first == 0xF0 && second < 0x90);
  const bool outside = (first == 0xED && second > 0x9F) || (first == 0xF4 && second > 0x8F);
  return overlong || outside ? 0 : length;
}

bool is_control(std::string_view sequence) {
  const auto first = static_cast<unsigned char>(sequence[0]);
  if (sequence.size() == 1) return first < 0x20 || first == 0x7F;
  return first == 0xC2 && static_cast<unsigned char>(sequence[1]) < 0xA0;  // C1 controls
}

}  // namespace

std::string display_name(std::string_view name) {
  std::string shown;
  while (!name.empty()) {
    const std::size_t length = sequence_length(name);
    const std::string_view sequence = name.substr(0, length ? length : 1);
    if (length && !is_control(sequence)) {
      shown += sequence;
    } else {
      for (const char c : sequence) shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(c));
    }
    name.remove_prefix(sequence.size());
  }
  return shown;
}

int code_points(std::string_view text) {
  int count = 0;
  while (!text.empty()) {
    const std::size_t length = sequence_length(text);
    text.remove_prefix(length ? length : 1);
    ++count;
  }
  return count;
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
