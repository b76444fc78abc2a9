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

/// "a fourth lower", "2 octaves higher", "an octave and a tone lower", "as written" for 0.
std::string shift_in_words(int semitones);

/// The key transposed by `semitones`, in its usual spelling (common practice): D major + 2 = E major.
Key moved_key(const Key& key, int semitones);

}  // namespace firmus::report
