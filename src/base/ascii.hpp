// Words of text formats: letters count in ASCII only, white space is blanks and tabs.
#pragma once
#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

namespace firmus {

/// The text with ASCII letters in lower case; every other byte stays.
inline std::string lower_ascii(std::string_view text) {
  std::string lowered(text);
  for (char& c : lowered)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return lowered;
}

/// The words between blanks and tabs.
inline std::vector<std::string_view> split_words(std::string_view text) {
  constexpr std::string_view blank = " \t";
  std::vector<std::string_view> words;
  while (true) {
    const std::size_t begin = text.find_first_not_of(blank);
    if (begin == std::string_view::npos) return words;
    text.remove_prefix(begin);
    const std::size_t end = std::min(text.find_first_of(blank), text.size());
    words.push_back(text.substr(0, end));
    text.remove_prefix(end);
  }
}

}  // namespace firmus
