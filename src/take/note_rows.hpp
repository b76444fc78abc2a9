// One row of a Result, from what was written and from what sounds.
#pragma once
#include <span>

#include "firmus/decode.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// What the melody says of a note.
NoteResult written_row(const Melody& melody, int index);

/// Measures a sounding note into its row: times, pitch, standard error, scoop, vibrato, level.
void fill_sound(NoteResult& row, const Samples& samples, const DecodedNote& note, std::span<const float> refined_hz,
                double a4_hz, const std::optional<Key>& key = std::nullopt);

}  // namespace firmus
