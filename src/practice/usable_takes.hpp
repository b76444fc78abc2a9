// What the takes of one student tell a practice plan: which notes were sung with ease, and at which pitch.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::practice {

/// Takes that were measured and may be the melody.
std::vector<PracticeTake> usable_takes(std::span<const PracticeTake> takes);

/// Whether a note is a written one in tune, sharp or flat, by so many cents of its own.
bool has_judged_error(const NoteResult& note);

/// A written note at the pitch at which the take sang it: moved by the take's transposition.
std::optional<SpelledPitch> at_sung_pitch(const PracticeTake& take, const SpelledPitch& written);

/// From the lowest to the highest note that was judged and at most half a semitone off; none when there is none.
std::optional<NoteRange> comfortable_range(std::span<const PracticeTake> takes);

bool in_range(const std::optional<NoteRange>& range, const SpelledPitch& pitch);

}  // namespace firmus::practice
