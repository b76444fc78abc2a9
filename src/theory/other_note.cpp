#include <algorithm>
#include <cmath>

#include "firmus/theory.hpp"

namespace firmus {

OtherNote nearest_other_note(const SpelledPitch& written, Cents error_cents, const Tuning& tuning,
                             const std::optional<Key>& key) {
  const double written_offset = tuning_offset_cents(tuning, written) + written.deviation_cents;
  const int sung = midi_key(written) + static_cast<int>(std::lround((error_cents + written_offset) / 100));
  std::optional<OtherNote> nearest;
  // The nearest note of equal temperament, and its neighbours, in case that it is the written one or retuned.
  for (int midi = sung - 1; midi <= sung + 1; ++midi) {
    const SpelledPitch pitch = nearest_pitch(hz_from_midi(midi), Hertz(440.0), key);
    if (midi_key(pitch) == midi_key(written) && written.deviation_cents == 0) continue;
    const double from_written =
        100.0 * (midi_key(pitch) - midi_key(written)) + tuning_offset_cents(tuning, pitch) - written_offset;
    if (!nearest || std::fabs(error_cents - from_written) < std::fabs(error_cents - nearest->from_written_cents))
      nearest = OtherNote{pitch, Cents(from_written)};
  }
  return *nearest;
}

}  // namespace firmus
