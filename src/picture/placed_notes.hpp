// Where each note of a take stands in the picture: when it sounds, the height of its written place, and what has to be
// taken off the measured pitch so that both share one axis.
#pragma once
#include <optional>
#include <span>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::picture {

/// A note that sounds. Heights are in semitones as MIDI counts them (60 is C4), as written.
struct PlacedNote {
  const NoteResult* note = nullptr;
  double onset_s = 0, end_s = 0;
  std::optional<double> midi_pitch;  ///< of its written place; none for what is not written
  double shift_semitones =
      0;  ///< sung minus written where the error is 0: key, octave and centre of the take at this note
};

/// The notes that sound, by onset. Empty for another melody than the written one, except that the notes keep their
/// times.
std::vector<PlacedNote> place_notes(const Result& result);

/// What is to be taken off the measured pitch at `time_s`, in semitones: that of the note that sounds, or the nearest.
/// `notes` by onset, not empty.
double shift_at(std::span<const PlacedNote> notes, double time_s);

/// The frequency of the written note: its written place in the key that the take has here; at concert pitch in the
/// octave sung. None where they are not known.
std::optional<double> own_hz(const PlacedNote& note);
std::optional<double> concert_hz(const NoteResult& note);

}  // namespace firmus::picture
