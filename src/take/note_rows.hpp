// One row of a Result, from the written note and from the sung one.
#pragma once
#include <span>

#include "decode/decode.hpp"
#include "firmus/result.hpp"

namespace firmus::take {

/// The row of a written note, not yet sung: name, place, interval from the note before it; status missing.
NoteResult row_of(const Melody& melody, int index);

/// What all notes of a take are measured with. References `samples` and `refined_hz`.
struct MeasuredTake {
  MeasuredTake(const Samples& samples, std::span<const float> refined_hz, std::span<const DecodedNote> notes);
  const Samples& samples;
  std::span<const float> refined_hz;
  double reverberation_level = 0;  ///< see estimate_reverberation_level
};

/// Measures a sung note into its row: times, pitch, standard error, scoop, vibrato, level.
void measure_into_row(NoteResult& row, const MeasuredTake& take, const DecodedNote& note, double a4_hz,
                      const std::optional<Key>& key = std::nullopt);

}  // namespace firmus::take
