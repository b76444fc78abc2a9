// One row of a Result, from what was written and from what sounds.
#pragma once
#include <span>

#include "decode/decode.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// What the melody says of a note.
NoteResult written_row(const Melody& melody, int index);

/// What the notes of a take are measured in.
struct MeasuredTake {
  MeasuredTake(const Samples& samples, std::span<const float> refined_hz, std::span<const DecodedNote> notes);
  const Samples& samples;
  std::span<const float> refined_hz;
  double reverberation_level = 0;  ///< see estimate_reverberation_level
};

/// Measures a sounding note into its row: times, pitch, standard error, scoop, vibrato, level.
void fill_sound(NoteResult& row, const MeasuredTake& heard, const DecodedNote& note, double a4_hz,
                const std::optional<Key>& key = std::nullopt);

}  // namespace firmus
