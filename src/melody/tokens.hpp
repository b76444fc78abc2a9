// Splits a line of notes into tokens. Bar lines and breaths need no white space around them.
#pragma once
#include <string_view>
#include <vector>

#include "source.hpp"

namespace firmus::melody {

/// A repeat sign is also an ending ("[1", "|1", ":|2") and a double bar.
enum class TokenKind { word, bar_line, breath, repeat_sign };

struct Token {
  TokenKind kind = TokenKind::word;
  std::string_view text;
  SourcePosition position;
};

/// The line up to its comment. A "#" starts a comment when only white space stands before it, or when it has white
/// space, or the end of the line, on both sides.
std::string_view without_comment(std::string_view line);

/// Tokens of a line without its comment. White space is space, tab and the no-break space, which text copied from web
/// pages contains.
std::vector<Token> split_music(const Line& line);

}  // namespace firmus::melody
