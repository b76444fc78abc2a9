// Controls for playing notes on a page: the written pitch as a synthesized tone and, once the reader has chosen a file
// with the recording (it is not uploaded), the note as sung. The controls are hidden until the script shows them.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "firmus/result.hpp"
#include "html.hpp"

namespace firmus::page {

/// The controls for the notes of one take. `prefix` begins the ids of the rows and the groups of these notes ("row-3",
/// "note-3"). Nothing when no note can be played.
void add_note_player(Html& html, const Result& result, std::string_view prefix);

/// A file input for the recording of a take. `take` is the value of data-take on the rows of that take, empty when the
/// controls belong to one take; `words` is the label.
struct RecordingInput {
  std::string take, words;
};

/// The controls for the rows whose ids begin with `prefix` + "row-", of one take or several.
void add_player_controls(Html& html, std::string_view prefix, const std::vector<RecordingInput>& recordings,
                         Reference reference);

/// The data attributes of a row that the script reads: times, frequencies and name of the note.
std::string playback_attributes(const Result& result, const NoteResult& note);

}  // namespace firmus::page
