// Writes a drill as melody text: a sequence of notes and rests, divided into bars.
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
  bool practised = false;           ///< one of the notes that the drill practises (DrillAim::notes)
  bool breath_after = false;        ///< a phrase ends here
  std::optional<std::string> word;  ///< its syllable
};

/// The header of the melody text.
struct DrillHeader {
  std::string title;
  DrillAim aim;  ///< `notes` is filled in from the notes that are `practised`
  std::optional<Key> key;
  Meter meter;
  std::string tempo;  ///< as in the format: "60"
  Tuning tuning;
  double a4_hz = 440;
  int sounds_semitones = 0;
  std::optional<Reference> reference;
};

/// The melody text. Notes that cross a bar line are tied by `hold`; a rest fills the last bar.
std::string drill_text(DrillHeader header, const std::vector<DrillNote>& notes);

}  // namespace firmus::practice
