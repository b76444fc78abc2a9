// Monophonic Standard MIDI Files with a pitch bend for each note. Pitch bend has 14 bits, 8192 is neutral, and its
// range is 2 semitones up and down by default (MIDI 1.0; General MIDI Level 1).
#pragma once
#include <string>
#include <vector>

namespace firmus::midi {

struct Note {
  int key = 60;
  double bend_cents = 0;  ///< whole cents, the resolution of fluidsynth
  int onset_ticks = 0, length_ticks = 0;
  int velocity = 90;
};
inline constexpr int ticks_per_second = 960;  ///< 480 a quarter, 120 quarters a minute

/// Format 0, one channel; `program` is General MIDI, from 0. The notes are in order and do not overlap.
std::string file_of(int program, const std::vector<Note>& notes);

}  // namespace firmus::midi
