#include "text_reader.hpp"

#include <fmt/format.h>

#include "headers.hpp"
#include "note_token.hpp"
#include "parsed_melody_builder.hpp"
#include "repeats.hpp"
#include "tokens.hpp"

namespace firmus::melody {
namespace {

class TextReader {
 public:
  TextReader(Diagnostics& errors, Diagnostics& warnings)
      : builder_(warnings), headers_(builder_, errors), errors_(errors) {}

  void read(const Line& line) {
    const Line bare{line.number, without_comment(line.text)};
    if (trimmed(bare.text).empty()) return;
    if (const auto header = header_of(bare)) return headers_.read(*header);
    const std::vector<Token> tokens = split_music(bare);
    for (std::size_t i = 0; i < tokens.size(); ++i) i += read_token(tokens, i);
  }

  ParsedMelody finish() {
    ParsedMelody parsed = builder_.finish();
    resolve_repeats(parsed, signs_, errors_);
    return parsed;
  }

 private:
  /// Returns the number of further tokens consumed (a note written in two parts is one error).
  std::size_t read_token(const std::vector<Token>& tokens, std::size_t at) {
    const Token& token = tokens[at];
    switch (token.kind) {
      case TokenKind::bar_line:
        builder_.bar_line();
        return 0;
      case TokenKind::breath:
        builder_.add_breath(token.position);
        return 0;
      case TokenKind::repeat_sign:
        if (token.text.find_first_of("|:") != std::string_view::npos) builder_.bar_line();
        add_repeat_signs(token, builder_.parsed().sections.back().items.size(), signs_, errors_);
        return 0;
      case TokenKind::word:
        break;
    }
    auto parsed = parse_note_token(token.text);
    if (auto* item = std::get_if<Item>(&parsed)) {
      item->position = token.position;
      if (item->kind == ItemKind::note) before_ = item->pitch;
      builder_.add(std::move(*item));
      return 0;
    }
    if (const std::size_t taken = report_triplet(tokens, at)) return taken - 1;
    const Token* next = at + 1 < tokens.size() && tokens[at + 1].kind == TokenKind::word ? &tokens[at + 1] : nullptr;
    if (next && report_two_parts(token, *next)) return 1;
    report(token, at > 0 ? &tokens[at - 1] : nullptr, std::get<TokenError>(parsed));
    return 0;
  }

  /// Reports "(3 G4 F4 E4" and "(3G4 F4 E4", as triplets are written elsewhere; returns the number of tokens.
  std::size_t report_triplet(const std::vector<Token>& tokens, std::size_t at) {
    std::string_view first = tokens[at].text;
    if (!first.starts_with("(3")) return 0;
    first.remove_prefix(2);
    std::vector<std::string_view> notes;
    if (!first.empty()) notes.push_back(first);
    std::size_t end = at + 1;
    for (; end < tokens.size() && tokens[end].kind == TokenKind::word && notes.size() < 3; ++end)
      notes.push_back(tokens[end].text);
    std::string thirds;
    for (const std::string_view note : notes) {
      if (!std::holds_alternative<Item>(parse_note_token(note)) || note.find(':') != std::string_view::npos) return 0;
      thirds += fmt::format(" {}:1/3", note);
    }
    if (notes.size() != 3) return 0;
    errors_.add(tokens[at].position, fmt::format("{} is not a note", in_quotes(tokens[at].text)),
                "write a triplet of one beat as" + thirds);
    return end - at;
  }

  /// For a note without its octave: the octave in which it is nearest to the note before; else the usual remedy.
  std::string remedy_of(const Token& token, const TokenError& error) const {
    const std::string_view name = token.text.substr(0, token.text.find(':'));
    if (!before_ || name.empty() || is_digit(name.back()) || error.what.find("has no octave") == std::string::npos)
      return error.remedy;
    std::optional<SpelledPitch> nearest;
    for (char octave = '0'; octave <= '9'; ++octave) {
      const auto parsed = parse_pitch(fmt::format("{}{}", name, octave));
      const auto* pitch = std::get_if<SpelledPitch>(&parsed);
      if (pitch && (!nearest || interval_between(*before_, *pitch).steps < interval_between(*before_, *nearest).steps))
        nearest = *pitch;
    }
    if (!nearest) return error.remedy;
    return fmt::format("write {}, the nearest to {} before it", pitch_name(*nearest), pitch_name(*before_));
  }

  /// Reports two tokens that form a note when joined: "F #4", "F# 4", "C4: 2".
  bool report_two_parts(const Token& first, const Token& second) {
    const std::string joined = fmt::format("{}{}", first.text, second.text);
    if (!std::holds_alternative<Item>(parse_note_token(joined))) return false;
    errors_.add(first.position,
                fmt::format("{} is in two parts", in_quotes(fmt::format("{} {}", first.text, second.text))),
                "write " + joined);
    return true;
  }

  void report(const Token& token, const Token* before, const TokenError& error) {
    const std::string_view length = token.text.substr(token.text.starts_with(':') ? 1 : 0);
    const bool is_number = std::holds_alternative<Fraction>(parse_beats(length));
    if (is_number && before && before->kind == TokenKind::word) {
      const std::string joined = fmt::format("{}:{}", before->text, length);
      if (std::holds_alternative<Item>(parse_note_token(joined)))
        return errors_.add(token.position, fmt::format("{} is not a note", in_quotes(token.text)),
                           "for its length write " + joined);
    }
    const std::string_view name = token.text.substr(0, token.text.find(':'));
    if (is_known_header(name) && !std::holds_alternative<Item>(parse_note_token(name)))
      return errors_.add(token.position, fmt::format("{} is not a note", in_quotes(token.text)),
                         fmt::format("a header is a word, a colon and white space: \"{}: ...\"", lower_ascii(name)));
    errors_.add(token.position, error.what, remedy_of(token, error));
  }

  std::optional<SpelledPitch> before_;  ///< the last note that was read
  std::vector<RepeatSign> signs_;
  ParsedMelodyBuilder builder_;
  HeaderReader headers_;
  Diagnostics& errors_;
};

}  // namespace

ParsedMelody read_text(std::string_view text, Diagnostics& errors, Diagnostics& warnings) {
  TextReader reader(errors, warnings);
  for (const Line& line : split_lines(text)) reader.read(line);
  return reader.finish();
}

}  // namespace firmus::melody
