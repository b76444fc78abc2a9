#include "text_reader.hpp"

#include <fmt/format.h>

#include "headers.hpp"
#include "note_token.hpp"
#include "parsed_melody_builder.hpp"
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

  ParsedMelody finish() { return builder_.finish(); }

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
        errors_.add(token.position, fmt::format("{} is a repeat sign, which is not read", in_quotes(token.text)),
                    "write \"section: A\" before the notes and play them twice with \"order: A A\"");
        return 0;
      case TokenKind::word:
        break;
    }
    auto parsed = parse_note_token(token.text);
    if (auto* item = std::get_if<Item>(&parsed)) {
      item->position = token.position;
      builder_.add(std::move(*item));
      return 0;
    }
    const Token* next = at + 1 < tokens.size() && tokens[at + 1].kind == TokenKind::word ? &tokens[at + 1] : nullptr;
    if (next && report_two_parts(token, *next)) return 1;
    report(token, at > 0 ? &tokens[at - 1] : nullptr, std::get<TokenError>(parsed));
    return 0;
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
        return errors_.add(token.position, fmt::format("{} is no note", in_quotes(token.text)),
                           "for its length write " + joined);
    }
    const std::string_view name = token.text.substr(0, token.text.find(':'));
    if (is_known_header(name) && !std::holds_alternative<Item>(parse_note_token(name)))
      return errors_.add(token.position, fmt::format("{} is no note", in_quotes(token.text)),
                         fmt::format("a header is a word, a colon and white space: \"{}: ...\"", lower(name)));
    errors_.add(token.position, error.what, error.remedy);
  }

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
