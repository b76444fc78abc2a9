// Diatonic steps and transposition by intervals, with correct spelling.
#pragma once
#include <optional>

#include "firmus/theory.hpp"

namespace firmus::practice {

/// The note of the key's scale `steps` staff positions from `pitch`, up when positive; none outside octaves 0 to 9.
std::optional<SpelledPitch> diatonic_step(const Key& key, const SpelledPitch& pitch, int steps);

/// `pitch` transposed by the interval, without its deviation; none where that needs more than a double accidental, or
/// outside octaves 0 to 9.
std::optional<SpelledPitch> transposed(const SpelledPitch& pitch, const Interval& interval);

/// The usual spelling of an interval in semitones: major, minor and perfect ones, augmented fourth for the tritone.
Interval interval_of_semitones(int semitones);

}  // namespace firmus::practice
