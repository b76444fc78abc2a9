// Words for a note in a picture, and the text alternative of a picture.
#pragma once
#include <string>

#include "firmus/result.hpp"

namespace firmus::picture {

/// "F#4": the written note; without a melody the nearest note; empty when neither is known.
std::string name_of(const NoteResult& note);

/// "F#4, bar 1 beat 2, Light: 12 cents flat, at 0:01.6"
std::string note_in_words(const Result& result, const NoteResult& note);

/// Text alternative of the pictures of notes: the number of notes in tune, and the notes that are off or missing.
std::string notes_off_in_words(const Result& result);

}  // namespace firmus::picture
