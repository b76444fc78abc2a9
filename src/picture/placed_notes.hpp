// The notes of a take on the axes of the picture: time, written pitch, and the offset between sung and written pitch,
// which is subtracted from the measured pitch so that both share one axis.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::picture {

/// A note that was sung. Pitches are MIDI note numbers with fractions (60 is C4, one unit is a semitone).
struct PlacedNote {
  const NoteResult* note = nullptr;
  double onset_s = 0, end_s = 0;
  std::optional<double> midi_pitch;  ///< as written; none for a note that is not in the melody
  double shift_semitones = 0;  ///< sung minus written pitch of an error-free note: transposition, octave and tuning
};

/// The notes that were sung, sorted by onset. When the take is not the written melody, they have times but no pitch.
std::vector<PlacedNote> place_notes(const Result& result);

/// Semitones to subtract from the measured pitch at `time_s`: the shift of the note that sounds then, else of the
/// nearest note. `notes` are sorted by onset, not empty.
double shift_at(std::span<const PlacedNote> notes, double time_s);

/// The target frequency of a note: written pitch plus shift (own_hz); written pitch at concert pitch, in the octave
/// sung (concert_hz). None where unknown.
std::optional<double> own_hz(const PlacedNote& note);
std::optional<double> concert_hz(const NoteResult& note);

}  // namespace firmus::picture
