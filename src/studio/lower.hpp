// Case-insensitive comparison of ids and names.
#pragma once
#include <string>
#include <string_view>

namespace firmus::studio {

/// `text` in lower case. Only ASCII letters change.
inline std::string lower(std::string_view text) {
  std::string lowered(text);
  for (char& c : lowered)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return lowered;
}

}  // namespace firmus::studio
