#include "beats.hpp"

#include <fmt/format.h>

#include <charconv>

#include "base/diagnostics.hpp"
#include "source.hpp"

namespace firmus::melody {
namespace {

constexpr std::size_t most_figures = 9;  // a fraction of two such numbers fits into 64 bits

/// One to nine digits and nothing else.
std::optional<std::int64_t> parse_figures(std::string_view text) {
  if (text.empty() || text.size() > most_figures) return std::nullopt;
  std::int64_t value = 0;
  for (const char c : text) {
    if (!is_digit(c)) return std::nullopt;
    value = 10 * value + (c - '0');
  }
  return value;
}

std::optional<Fraction> parse_decimal(std::string_view whole, std::string_view decimals) {
  const auto before = parse_figures(whole);
  const auto after = parse_figures(decimals);
  if (!before || !after) return std::nullopt;
  std::int64_t scale = 1;
  for (std::size_t i = 0; i < decimals.size(); ++i) scale *= 10;
  return Fraction(*before * scale + *after, scale);
}

std::optional<Fraction> parse_ratio(std::string_view above, std::string_view below) {
  const auto numerator = parse_figures(above);
  const auto denominator = parse_figures(below);
  if (!numerator || !denominator || *denominator == 0) return std::nullopt;
  return Fraction(*numerator, *denominator);
}

std::optional<Fraction> parse_number(std::string_view text) {
  if (const std::size_t dot = text.find('.'); dot != std::string_view::npos)
    return parse_decimal(text.substr(0, dot), text.substr(dot + 1));
  if (const std::size_t slash = text.find('/'); slash != std::string_view::npos)
    return parse_ratio(text.substr(0, slash), text.substr(slash + 1));
  if (const auto whole = parse_figures(text)) return Fraction(*whole);
  return std::nullopt;
}

}  // namespace

std::variant<Fraction, TokenError> parse_beats(std::string_view text) {
  if (const auto number = parse_number(text)) return *number;
  const std::string what = fmt::format("{} is not a number of beats", in_quotes(text));
  if (const std::size_t comma = text.find(','); comma != std::string_view::npos) {
    if (const auto meant = parse_decimal(text.substr(0, comma), text.substr(comma + 1))) {
      const std::string with_point = fmt::format("{}.{}", text.substr(0, comma), text.substr(comma + 1));
      return TokenError{what, fmt::format("write {} or {}", with_point, beats_text(*meant))};
    }
  }
  return TokenError{what, "write it as 2, 0.5 or 3/2"};
}

std::optional<int> parse_whole(std::string_view text, int lowest, int highest) {
  if (text.starts_with('+')) text.remove_prefix(1);
  if (text.starts_with('+') || text.empty()) return std::nullopt;
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value < lowest || value > highest)
    return std::nullopt;
  return value;
}

std::string decimal_text(const Fraction& beats, int most_decimals) {
  std::int64_t scale = 1;
  for (int decimals = 0; decimals <= most_decimals; ++decimals, scale *= 10) {
    if (scale % beats.den != 0) continue;
    if (decimals == 0) return fmt::format("{}", beats.num);
    const std::int64_t times = scale / beats.den;
    return fmt::format("{}.{:0{}}", beats.num / beats.den, beats.num % beats.den * times, decimals);
  }
  return {};
}

std::string beats_text(const Fraction& beats) {
  if (beats.den == 1) return fmt::format("{}", beats.num);
  constexpr std::int64_t too_long = 1'000'000'000;
  if (beats.num >= too_long || beats.den >= too_long)
    if (std::string decimals = decimal_text(beats, most_figures); !decimals.empty()) return decimals;
  return fmt::format("{}/{}", beats.num, beats.den);
}

}  // namespace firmus::melody
