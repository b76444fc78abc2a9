#include "note_token.hpp"

#include <fmt/format.h>

#include <array>

#include "base/diagnostics.hpp"
#include "source.hpp"

namespace firmus::melody {
namespace {

constexpr std::size_t longest_token_bytes = 64;

/// The parts between colons; `count` may exceed 3, which is an error.
struct Parts {
  std::array<std::string_view, 3> part;
  std::size_t count = 0;
};

Parts split_parts(std::string_view token) {
  Parts parts;
  while (true) {
    const std::size_t colon = token.find(':');
    if (parts.count < 3) parts.part[parts.count] = token.substr(0, colon);
    ++parts.count;
    if (colon == std::string_view::npos) return parts;
    token.remove_prefix(colon + 1);
  }
}

std::optional<TokenError> read_name(std::string_view name, Item& item) {
  const std::string word = lower_ascii(name);
  if (word == "rest") item.kind = ItemKind::rest;
  if (word == "hold") item.kind = ItemKind::hold;
  if (item.kind != ItemKind::note) return std::nullopt;
  if (word == "r" || word == "pause") return TokenError{fmt::format("{} is not a note", in_quotes(name)), "write rest"};
  if (word == "tie" || word == "~") return TokenError{fmt::format("{} is not a note", in_quotes(name)), "write hold"};
  auto parsed = parse_pitch(name);
  if (auto* error = std::get_if<PitchNameError>(&parsed))
    return TokenError{std::move(error->what), std::move(error->remedy)};
  item.pitch = std::get<SpelledPitch>(parsed);
  return std::nullopt;
}

std::optional<NoteMark> parse_mark(std::string_view text) {
  const std::string word = lower_ascii(text);
  if (word == "maybe") return NoteMark::maybe;
  if (word == "free") return NoteMark::free;
  return std::nullopt;
}

std::optional<TokenError> read_beats(std::string_view token, const Parts& parts, Item& item) {
  if (parts.count < 2) return std::nullopt;
  const std::string_view text = parts.part[1];
  if (text.empty() && parts.count == 2)
    return TokenError{fmt::format("{} has no length behind its colon", in_quotes(token)),
                      fmt::format("write {}:1", parts.part[0])};
  if (text.empty() || (parts.count == 2 && parse_mark(text)))
    return TokenError{fmt::format("{} has a mark but no length", in_quotes(token)),
                      fmt::format("write {}:1:{}", parts.part[0], text.empty() ? parts.part[2] : text)};
  auto beats = parse_beats(text);
  if (auto* error = std::get_if<TokenError>(&beats)) {
    error->what = fmt::format("{} in {} is not a number of beats", in_quotes(text), in_quotes(token));
    return std::move(*error);
  }
  item.beats = std::get<Fraction>(beats);
  if (item.kind != ItemKind::note && item.beats == Fraction(0))
    return TokenError{fmt::format("{} lasts no time", in_quotes(token)), "give it a length above 0, or leave it out"};
  return std::nullopt;
}

std::optional<TokenError> read_mark(std::string_view token, const Parts& parts, Item& item) {
  if (parts.count < 3) return std::nullopt;
  const auto mark = parse_mark(parts.part[2]);
  if (!mark)
    return TokenError{fmt::format("{} in {} is not a mark", in_quotes(parts.part[2]), in_quotes(token)),
                      "the marks are maybe (may be left out) and free (any length)"};
  if (item.kind != ItemKind::note)
    return TokenError{fmt::format("{} has a mark, which only notes have", in_quotes(token)), "put it on the note"};
  item.mark = *mark;
  return std::nullopt;
}

}  // namespace

std::variant<Item, TokenError> parse_note_token(std::string_view token) {
  if (token.size() > longest_token_bytes)
    return TokenError{fmt::format("{} is not a note", in_quotes(token)), "put white space between the notes"};
  const Parts parts = split_parts(token);
  if (parts.count > 3)
    return TokenError{fmt::format("{} has too many colons", in_quotes(token)), "write NOTE:BEATS or NOTE:BEATS:MARK"};
  Item item;
  if (auto error = read_name(parts.part[0], item)) return std::move(*error);
  if (auto error = read_beats(token, parts, item)) return std::move(*error);
  if (auto error = read_mark(token, parts, item)) return std::move(*error);
  return item;
}

}  // namespace firmus::melody
