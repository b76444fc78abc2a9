// Takes played by a sound font (fluidsynth) and by an additive violin.
//
// Ground truth of a sound-font note: its samples have a tuning and an attack of their own, so each key is first played
// alone, dry, for two seconds. Its onset is the note-on plus the time until the level (10 ms) first comes within 15 dB
// of the loudest in the first second: where tones are heard to begin (Vos & Rasch, Perception & Psychophysics 29, 1981:
// 6 to 15 dB under the maximum; memory); its end is the note-off plus the time to fall as far, the next note-on at the
// latest. Its pitch is f0 of the lone key, moved by the note's pitch bend, median over the middle three fifths of the
// note. f0 is measured here by another method than firmus has: the fundamental whose harmonics hold the most power (for
// a harmonic sound in noise close to least squares).
#pragma once
#include <string>
#include <vector>

#include "truth_take.hpp"

namespace firmus::truth {

struct Instrument {
  std::string name;
  int program = 0;  ///< General MIDI, from 0
  int lowest_key = 0, highest_key = 0;
};
const std::vector<Instrument>& sound_font_instruments();
/// fluidsynth and its small sound font (timgm6mb-soundfont).
bool sound_font_is_there();

/// The melody as the instrument plays it: bends of 12 cents standard deviation, half of the takes legato.
TruthTake play_take(const Instrument& instrument, const std::string& melody_name, std::uint64_t seed);

/// The melody moved up until its highest note is E7, on an additive violin, every other take with vibrato.
TruthTake play_top_of_violin(const std::string& melody_name, std::uint64_t seed);
/// A bow drawn slowly, in the middle of this range: each note swells for 0.12 to 0.3 s. Additive, every other take with
/// vibrato.
TruthTake play_slow_bow(int lowest_key, int highest_key, const std::string& melody_name, std::uint64_t seed);

}  // namespace firmus::truth
