// Repeat signs and endings of melody text -> sections and the order in which they are played.
//
// "|:" begins a repeat, ":|" ends it (":|:" and "::" do both); "::|" is played three times. Without "|:" the repeat
// begins behind the repeat before it or the last double bar "||", else at the start. Endings are "|1" or "[1", "[1,3",
// "[1-3"; each but the last ends with ":|". Repeats do not nest. As in ABC notation 2.1, sections 4.8 to 4.10.
//
// Of `words N:` an ending takes those of the time at which it is played; a note that has none there takes those of an
// earlier time, since the words of the first time are written under all notes.
#pragma once
#include <string>
#include <vector>

#include "parsed_melody.hpp"
#include "tokens.hpp"

namespace firmus::melody {

enum class RepeatSignKind { double_bar, repeat_begin, repeat_end, ending };

struct RepeatSign {
  RepeatSignKind kind = RepeatSignKind::double_bar;
  std::size_t item = 0;  ///< number of items before it
  SourcePosition position;
  int times = 2;             ///< of repeat_end: how often in all
  std::vector<int> numbers;  ///< of an ending: at which times it is played, from 1, ascending
};

/// Adds the signs that a token of kind repeat_sign stands for; a token that is none is an error.
void add_repeat_signs(const Token& token, std::size_t item, std::vector<RepeatSign>& signs, Diagnostics& errors);

/// Cuts the only section at the signs and sets the declared order. Without a repeat nothing is changed. Errors: an
/// unclosed repeat, endings that are incomplete, more than 500 signs, sections beside signs.
void resolve_repeats(ParsedMelody& parsed, const std::vector<RepeatSign>& signs, Diagnostics& errors);

}  // namespace firmus::melody
