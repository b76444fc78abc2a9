// A drill as melody text: notes and rests in a row become full bars.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "firmus/melody.hpp"

namespace firmus::practice {

/// A note or a rest, in beats of the meter.
struct DrillNote {
  std::optional<SpelledPitch> pitch;  ///< none: a rest
  Fraction beats{1};
  bool counts = false;              ///< one of the notes that the drill is about
  bool breath_after = false;        ///< a phrase ends here
  std::optional<std::string> word;  ///< its syllable
};

/// What stands above the notes.
struct DrillHeader {
  std::string title;
  DrillAim aim;  ///< its notes are set from the sounds
  std::optional<Key> key;
  Meter meter;
  std::string tempo;  ///< as in the format: "60"
  Tuning tuning;
  double a4_hz = 440;
  int sounds_semitones = 0;
  std::optional<Reference> reference;
};

/// The melody text: what does not fit into a bar is held on in the next, the last bar is filled up with a rest.
std::string drill_text(DrillHeader head, const std::vector<DrillNote>& sounds);

}  // namespace firmus::practice
