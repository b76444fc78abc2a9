// Copies of annotated takes, altered so that the annotation still tells the truth: what is fitted on them holds up in
// noise, in rooms, on other voices and on instruments.
#pragma once
#include <random>
#include <vector>

#include "annotated_takes.hpp"

namespace firmus::fit {

/// A take as the fit learns from it. `speed`: how much higher it sounds than its melody (its pitch range moves along).
struct Lesson {
  Samples samples;
  std::vector<AnnotatedNote> notes;
  double speed = 1;
};

/// Noise 5 to 25 dB under the loud part, white or (every other time) cut at 4 kHz.
Lesson in_noise(const Lesson& take, std::mt19937& random);
/// Played at half to twice the speed, and equalised at random: other voices, other phones.
Lesson at_other_speed(const Lesson& take, std::mt19937& random);
/// In a room of 0.3 to 1.2 s (comb and all-pass filters: M. R. Schroeder, JAES 10(3), 1962), or clipped.
Lesson in_a_room_or_clipped(const Lesson& take, std::mt19937& random);
/// The annotated notes played as tones of an invented instrument: partials, attack, decay and vibrato at random, onsets
/// exact, notes that touch tied without a gap every other time.
Lesson on_an_instrument(const Lesson& take, std::mt19937& random);

}  // namespace firmus::fit
