// What the takes of one student tell a practice plan: which notes were sung with ease, and at which pitch.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::practice {

/// Takes that were measured and may be the melody.
std::vector<PracticeTake> usable(std::span<const PracticeTake> takes);

/// Whether a note is a written one in tune, sharp or flat, by so many cents of its own.
bool has_error(const NoteResult& note);

/// A written note at the pitch at which the take sang it: moved by the take's transposition.
std::optional<SpelledPitch> as_sung(const PracticeTake& take, const SpelledPitch& written);

/// From the lowest to the highest note that was judged and at most half a semitone off; none when there is none.
std::optional<NoteRange> sung_with_ease(std::span<const PracticeTake> takes);

bool lies_in(const std::optional<NoteRange>& range, const SpelledPitch& pitch);

}  // namespace firmus::practice
