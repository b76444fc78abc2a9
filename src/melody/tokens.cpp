#include "tokens.hpp"

namespace firmus::melody {
namespace {

constexpr std::string_view no_break_space = "\xC2\xA0";

/// Number of bytes of the white-space character at the front, 0 when there is none.
std::size_t leading_space_bytes(std::string_view text) {
  if (is_space(text.front())) return 1;
  return text.starts_with(no_break_space) ? no_break_space.size() : 0;
}

/// A comma inside a number of beats ("G4:1,5") is not a breath; the whole token is reported.
bool is_decimal_comma(std::string_view run, std::size_t piece, std::size_t comma) {
  return comma > piece && comma + 1 < run.size() && is_digit(run[comma - 1]) && is_digit(run[comma + 1]) &&
         run.substr(piece, comma - piece).find(':') != std::string_view::npos;
}

/// Splits a run without white space at bar lines, repeat signs and breaths.
class RunSplitter {
 public:
  RunSplitter(std::string_view run, int line, int column, std::vector<Token>& tokens)
      : run_(run), line_(line), columns_(run, column), tokens_(tokens) {}

  void split() {
    if (run_ == "::") return add(TokenKind::repeat_sign, 0, run_.size());
    std::size_t at = after_ending(0);
    add(TokenKind::repeat_sign, 0, at);
    while (at < run_.size()) {
      if (run_[at] == '|')
        at = add_bar_lines(at);
      else if (run_[at] == ',' && !is_decimal_comma(run_, piece_, at))
        at = add_breath_mark(at);
      else
        ++at;
    }
    add(TokenKind::word, piece_, run_.size());
  }

 private:
  void add(TokenKind kind, std::size_t begin, std::size_t end) {
    if (begin < end) tokens_.push_back({kind, run_.substr(begin, end - begin), {line_, columns_.at(begin)}});
    piece_ = end;
  }

  std::size_t add_bar_lines(std::size_t at) {
    std::size_t begin = at, end = at;
    while (begin > piece_ && run_[begin - 1] == ':') --begin;
    while (end < run_.size() && (run_[end] == '|' || run_[end] == ':' || run_[end] == ']')) ++end;
    end = after_ending(end);
    add(TokenKind::word, piece_, begin);
    add(end - begin > 1 ? TokenKind::repeat_sign : TokenKind::bar_line, begin, end);
    return end;
  }

  /// Where an ending stands here ("[1", behind a bar line also "1", "1,3", "1-3"), the place behind it.
  std::size_t after_ending(std::size_t at) const {
    const auto digit_at = [&](std::size_t place) { return place < run_.size() && is_digit(run_[place]); };
    std::size_t end = at < run_.size() && run_[at] == '[' ? at + 1 : at;
    if (!digit_at(end) || (end == 0)) return at;
    while (digit_at(end) || (end < run_.size() && (run_[end] == ',' || run_[end] == '-') && digit_at(end + 1))) ++end;
    return end;
  }

  std::size_t add_breath_mark(std::size_t at) {
    add(TokenKind::word, piece_, at);
    add(TokenKind::breath, at, at + 1);
    return at + 1;
  }

  std::string_view run_;
  int line_;
  Columns columns_;
  std::vector<Token>& tokens_;
  std::size_t piece_ = 0;
};

}  // namespace

std::string_view without_comment(std::string_view line) {
  for (std::size_t at = line.find('#'); at != std::string_view::npos; at = line.find('#', at + 1)) {
    const bool first = trimmed(line.substr(0, at)).empty();
    const bool after_space = at > 0 && is_space(line[at - 1]);
    const bool before_space = at + 1 == line.size() || is_space(line[at + 1]);
    if (first || (after_space && before_space)) return line.substr(0, at);
  }
  return line;
}

std::vector<Token> split_music(const Line& line) {
  std::vector<Token> tokens;
  const std::string_view text = line.text;
  Columns columns(text);
  std::size_t at = 0;
  while (at < text.size()) {
    if (const std::size_t space = leading_space_bytes(text.substr(at))) {
      at += space;
      continue;
    }
    std::size_t end = at;
    while (end < text.size() && leading_space_bytes(text.substr(end)) == 0) ++end;
    RunSplitter(text.substr(at, end - at), line.number, columns.at(at), tokens).split();
    at = end;
  }
  return tokens;
}

}  // namespace firmus::melody
