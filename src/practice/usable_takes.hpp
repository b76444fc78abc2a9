// Takes that a practice plan can use, and the range that the student sings comfortably.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::practice {

/// Takes that were measured and are not of another melody.
std::vector<PracticeTake> usable_takes(std::span<const PracticeTake> takes);

/// Whether a note is a written one, judged in tune, sharp or flat, with an error against the own tuning curve.
bool has_judged_error(const NoteResult& note);

/// A written note transposed as the take was; none outside octaves 0 to 9 (see `transposed`).
std::optional<SpelledPitch> at_sung_pitch(const PracticeTake& take, const SpelledPitch& written);

/// From the lowest to the highest note with an error of at most 50 cents; none when there is no such note.
std::optional<NoteRange> comfortable_range(std::span<const PracticeTake> takes);

bool in_range(const std::optional<NoteRange>& range, const SpelledPitch& pitch);

}  // namespace firmus::practice
