// Notes moved by steps of a key and by intervals, spelled as a musician would.
#pragma once
#include <optional>

#include "firmus/theory.hpp"

namespace firmus::practice {

/// The note of the key's own scale `steps` staff steps from `pitch` (up when positive). None outside octaves 0 to 9.
std::optional<SpelledPitch> diatonic_step(const Key& key, const SpelledPitch& pitch, int steps);

/// `pitch` moved by the interval; its deviation is dropped. None where that needs more than a double accidental, or
/// outside octaves 0 to 9.
std::optional<SpelledPitch> transposed(const SpelledPitch& pitch, const Interval& interval);

/// The usual spelling of so many semitones (common practice: major, minor and perfect, augmented fourth).
Interval interval_of_semitones(int semitones);

}  // namespace firmus::practice
