#include "base/diagnostics.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/utf8.hpp"

namespace firmus {

void Diagnostics::add(SourcePosition position, std::string what, std::string remedy) {
  if (!places_.insert(position).second || problems_.size() == most_listed) return;
  problems_.push_back({{file_, position.line, position.column}, std::move(what), std::move(remedy)});
}

std::vector<Problem> Diagnostics::listed() const {
  std::vector<Problem> list = problems_;
  std::stable_sort(list.begin(), list.end(), [](const Problem& a, const Problem& b) {
    return std::pair(a.place.line, a.place.column) < std::pair(b.place.line, b.place.column);
  });
  if (const std::size_t more = places_.size() - problems_.size(); more > 0)
    list.push_back({{file_, 0, 0}, fmt::format("and {} more {}{}", more, kind_, more == 1 ? "" : "s"), ""});
  return list;
}

void Diagnostics::throw_if_any() const {
  if (any()) throw InputError(listed());
}

std::string in_quotes(std::string_view text) {
  constexpr std::size_t longest = 40;  // bytes: no valid token is longer
  if (text.size() <= longest) return fmt::format("\"{}\"", text);
  // Cuts before a multi-byte character, not inside it. In invalid UTF-8 any number of continuation bytes may follow
  // each other.
  constexpr std::size_t longest_character = 4;
  std::size_t cut = longest;
  while (cut > longest - longest_character && is_utf8_continuation(text[cut])) --cut;
  return fmt::format("\"{}...\"", text.substr(0, cut));
}

}  // namespace firmus
