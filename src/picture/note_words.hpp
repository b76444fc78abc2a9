// What is said of a note in a picture, and of a take in its text alternative.
#pragma once
#include <string>

#include "firmus/result.hpp"

namespace firmus::picture {

/// "F#4": the written note; without a melody the nearest one; empty when neither is known.
std::string name_of(const NoteResult& note);

/// "F#4, bar 1 beat 2, Light: 12 cents flat, at 0:01.6"
std::string note_in_words(const Result& result, const NoteResult& note);

/// The text alternative of both pictures of notes: how many in tune, and every note that is off.
std::string notes_off_in_words(const Result& result);

}  // namespace firmus::picture
