// A line of music as tokens. Bar lines and breaths may touch their neighbours.
#pragma once
#include <string_view>
#include <vector>

#include "source.hpp"

namespace firmus::melody {

enum class TokenKind { word, bar_line, breath, repeat_sign };

struct Token {
  TokenKind kind = TokenKind::word;
  std::string_view text;
  SourcePosition position;
};

/// The line up to its comment: a "#" that is the first character but for white space, or has white space (or an end of
/// the line) on both sides.
std::string_view without_comment(std::string_view line);

/// Tokens of a line without its comment. White space is space, tab and the no-break space that web pages paste.
std::vector<Token> split_music(const Line& line);

}  // namespace firmus::melody
