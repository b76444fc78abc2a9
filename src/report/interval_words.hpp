// Intervals and keys in words.
#pragma once
#include <optional>
#include <string>
#include <string_view>

#include "firmus/theory.hpp"

namespace firmus::report {

/// "rising major sixth" for "M6" up, "repeated note" for "P1", "falling major tenth" for "M10" down.
/// Other names are returned unchanged.
std::string interval_in_words(std::string_view name, const std::optional<Direction>& direction);

/// The short way: "a fourth lower", "2 octaves up", "a semitone higher, an octave down", "as written" for 0.
std::string shift_in_words(int semitones);
/// As a movement: "up a semitone", "down an octave", "up a tone and down an octave". Not 0.
std::string moved_in_words(int semitones);

/// "E flat major", "F sharp dorian".
std::string key_in_words(const Key& key);

/// The key transposed by `semitones`, in its usual spelling (common practice): D major + 2 = E major.
Key moved_key(const Key& key, int semitones);

}  // namespace firmus::report
