// Data augmentation: altered copies of annotated takes whose annotation stays valid, so that the fitted weights also
// work with noise, reverberation, other voices and instruments.
#pragma once
#include <random>
#include <vector>

#include "annotated_takes.hpp"

namespace firmus::fit {

/// A training take. `speed`: playback speed, and so the ratio of its frequencies to the melody's; the pitch range is
/// scaled by it.
struct Lesson {
  Samples samples;
  std::vector<AnnotatedNote> notes;
  double speed = 1;
};

/// Adds noise 5 to 25 dB below the loud part: white, or in half of the cases low-passed at 4 kHz.
Lesson in_noise(const Lesson& take, std::mt19937& random);
/// Resamples to 0.5 to 2 times the speed and equalises at random, to imitate other voices and phones.
Lesson at_other_speed(const Lesson& take, std::mt19937& random);
/// Adds reverberation of 0.3 to 1.2 s (comb and all-pass filters: M. R. Schroeder, JAES 10(3), 1962), or clips.
Lesson in_a_room_or_clipped(const Lesson& take, std::mt19937& random);
/// Synthesises the annotated notes with random partials, attack, decay and vibrato. Onsets are exact; in half of the
/// cases adjacent notes are joined without a gap.
Lesson on_an_instrument(const Lesson& take, std::mt19937& random);

}  // namespace firmus::fit
