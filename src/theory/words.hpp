// Helpers for parsing words and numbers; case is ignored for ASCII only.
#pragma once
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>

namespace firmus::theory {

inline std::string_view trimmed(std::string_view text) {
  constexpr std::string_view space = " \t";
  const std::size_t begin = text.find_first_not_of(space);
  if (begin == std::string_view::npos) return {};
  return text.substr(begin, text.find_last_not_of(space) - begin + 1);
}

inline bool equal_but_for_case(std::string_view text, std::string_view lower) {
  if (text.size() != lower.size()) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i] >= 'A' && text[i] <= 'Z' ? static_cast<char>(text[i] - 'A' + 'a') : text[i];
    if (c != lower[i]) return false;
  }
  return true;
}

/// Parses "50", "-12.5", "+3", rounded to a thousandth, so that a printed value reads back the same.
inline std::optional<double> parse_cents(std::string_view text) {
  const bool plus = text.starts_with('+');
  if (plus) text.remove_prefix(1);
  if (text.empty() || text.back() == '.') return std::nullopt;
  const std::size_t first = !plus && text.front() == '-' ? 1 : 0;
  if (first == text.size() || text[first] < '0' || text[first] > '9') return std::nullopt;  // no "inf", no ".5"
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc() || end != text.data() + text.size() || !(std::fabs(value) < 1e6)) return std::nullopt;
  return std::round(value * 1000.0) / 1000.0 + 0.0;  // + 0.0: no negative zero
}

}  // namespace firmus::theory
