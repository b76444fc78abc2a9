// Hearing a note on the page: the written pitch as a tone made there, and, once the reader has chosen their own
// recording on their own machine, the note as sung. Shown by the script alone: without one the page reads as before.
#pragma once
#include <string>
#include <string_view>

#include "firmus/result.hpp"
#include "html.hpp"

namespace firmus::page {

/// The controls for the notes of one take, whose rows and groups have ids that begin with `prefix`: "row-3", "note-3".
/// Nothing where no note can be heard.
void add_sound(Html& html, const Result& result, std::string_view prefix);

/// What a row tells the script: when the note is, which frequencies it has.
std::string sound_data(const Result& result, const NoteResult& note);

/// The script, as it stands in the page.
std::string_view sound_script();

}  // namespace firmus::page
