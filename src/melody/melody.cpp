#include "firmus/melody.hpp"

namespace firmus {

std::optional<Reference> parse_reference(std::string_view text) {
  return enum_named<Reference>(text);
}

Melody with_tuning(Melody melody, std::optional<Hertz> a4, std::optional<Tuning> tuning) {
  if (a4) melody.a4_hz = *a4;
  if (tuning) melody.tuning = *tuning;
  for (WrittenNote& note : melody.notes)
    note.target_hz = target_hz(note.pitch, melody.tuning, melody.a4_hz, note.sounds_semitones);
  return melody;
}

std::optional<Interval> interval_into(const Melody& melody, int index) {
  if (index < 1 || static_cast<std::size_t>(index) >= melody.notes.size()) return std::nullopt;
  const auto at = static_cast<std::size_t>(index);
  return interval_between(melody.notes[at - 1].pitch, melody.notes[at].pitch);
}

}  // namespace firmus
