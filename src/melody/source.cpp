#include "source.hpp"

#include <fmt/format.h>

namespace firmus::melody {
namespace {

constexpr std::size_t largest_bytes = 1 << 20;  // 1 MiB

void check_characters(const Line& line, Diagnostics& problems) {
  std::size_t at = 0;
  while (at < line.text.size()) {
    const std::string_view rest = line.text.substr(at);
    const std::size_t count = utf8_sequence_length(rest);
    const auto position = [&] { return SourcePosition{line.number, Columns(line.text).at(at)}; };
    if (count == 0) {
      problems.add(position(), fmt::format("the byte \\x{:02X} is not UTF-8", static_cast<unsigned char>(rest[0])),
                   "save the file as UTF-8");
      return;
    }
    if (rest.front() != '\t' && is_control_character(rest.substr(0, count))) {
      const int code = static_cast<unsigned char>(rest[count - 1]);
      problems.add(position(), fmt::format("the control character \\x{:02X} is not text", code), "take it out");
      return;
    }
    at += count;
  }
}

/// The name of another format that the text is in; empty when none is recognised.
std::string_view other_format(std::string_view text) {
  if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) return "text in UTF-16";
  return {};
}

}  // namespace

std::vector<Line> split_lines(std::string_view text) {
  std::vector<Line> lines;
  int number = 1;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    lines.push_back({number++, text.substr(0, end)});
    const std::size_t ending = end == text.size() ? 0 : text.substr(end).starts_with("\r\n") ? 2 : 1;
    text.remove_prefix(end + ending);
  }
  return lines;
}

void check_is_text(std::string_view text, const std::string& file) {
  Diagnostics problems(file, "error");
  if (text.size() > largest_bytes)
    problems.add({}, "is larger than 1 MiB, the most a melody may have", "split it");
  else if (const std::string_view other = other_format(text); !other.empty())
    problems.add({}, fmt::format("is {}, which is not read", other), "write the melody as UTF-8 text or CSV");
  problems.throw_if_any();
  for (const Line& line : split_lines(without_byte_order_mark(text))) {
    check_characters(line, problems);
    if (problems.any()) break;  // a file in another encoding would give an error in every line
  }
  problems.throw_if_any();
}

std::string counted(std::string_view number, std::string_view unit) {
  return fmt::format("{} {}{}", number, unit, number == "1" ? "" : "s");
}

}  // namespace firmus::melody
