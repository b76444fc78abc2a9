// The summary of a take as tests read it.
#pragma once
#include <string>
#include <string_view>

#include "firmus/report.hpp"

namespace firmus::example {

inline bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

inline std::string plain(const Result& result) {
  return as_text(result, Colour::never, "firmus check NEXT");
}

/// The text with single spaces for line breaks and indents.
inline std::string on_one_line(const std::string& text) {
  std::string line;
  for (const char c : text)
    if ((c != ' ' && c != '\n') || !line.ends_with(' ')) line += c == '\n' ? ' ' : c;
  return line;
}

}  // namespace firmus::example
