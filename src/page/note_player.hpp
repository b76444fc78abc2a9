// Hearing a note on the page: the written pitch as a tone made there, and, once the reader has chosen their own
// recording on their own machine, the note as sung. Shown by the script alone: without one the page reads as before.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"
#include "html.hpp"

namespace firmus::page {

/// The controls for the notes of one take, whose rows and groups have ids that begin with `prefix`: "row-3", "note-3".
/// Nothing where no note can be heard.
void add_note_player(Html& html, const Result& result, std::string_view prefix);

/// Where the reader chooses the recording of a take: what the rows of that take name it (data-take; nothing where the
/// controls are of one take), and in words.
struct RecordingInput {
  std::string take, words;
};

/// The controls for the rows whose ids begin with `prefix` and "row-", of one take or several.
void add_player_controls(Html& html, std::string_view prefix, const std::vector<RecordingInput>& recordings,
                         Reference reference);

/// What a row tells the script: when the note is, which frequencies it has.
std::string playback_attributes(const Result& result, const NoteResult& note);

}  // namespace firmus::page
