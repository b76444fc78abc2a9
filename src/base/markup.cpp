#include "base/markup.hpp"

#include "base/base.hpp"

namespace firmus {

namespace {

/// U+FFFE and U+FFFF are not allowed in XML (XML 1.0, section 2.2).
std::string without_noncharacters(std::string text) {
  for (const std::string_view sequence : {"\xEF\xBF\xBE", "\xEF\xBF\xBF"})
    for (std::size_t at = text.find(sequence); at != std::string::npos; at = text.find(sequence, at))
      text.replace(at, sequence.size(), sequence.back() == '\xBE' ? "\\xEF\\xBF\\xBE" : "\\xEF\\xBF\\xBF");
  return text;
}

}  // namespace

std::string markup_escaped(std::string_view text) {
  std::string safe;
  for (const char c : without_noncharacters(display_name(text))) {
    switch (c) {
      case '&':
        safe += "&amp;";
        break;
      case '<':
        safe += "&lt;";
        break;
      case '>':
        safe += "&gt;";
        break;
      case '"':
        safe += "&quot;";
        break;
      case '\'':
        safe += "&#39;";
        break;
      default:
        safe += c;
    }
  }
  return safe;
}

}  // namespace firmus
