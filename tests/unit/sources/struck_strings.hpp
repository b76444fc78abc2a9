// Recordings in which struck strings and a voice sound in turn.
#pragma once
#include <vector>

#include "synth.hpp"

namespace firmus::sources_test {

/// Partials of amplitude 1/k that die away evenly, and are damped at the end.
struct String {
  double from_s = 0, to_s = 0;
  double hz = 220;
  double db_per_s = 15;    ///< of its fall
  double amplitude = 0.2;  ///< of its first partial, at first
};
void add(synth::Sound& sound, const String& string);

/// A voice at these pitches (MIDI), each `length_s` long, with `room_s` before each for a given note.
struct Lesson {
  std::vector<double> midi;
  double length_s = 0.7, room_s = 1.2;
  std::uint64_t seed = 1;
  synth::Sound sung() const;
  /// The string that gives note i, `octaves` from the voice.
  String giving(std::size_t i, const synth::Sound& sound, double db_per_s, int octaves) const;
};

/// Twenty pitches within an octave, no two in a row alike.
std::vector<double> some_tune(std::uint64_t seed);

}  // namespace firmus::sources_test
