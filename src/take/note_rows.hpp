// One row of a Result, from the written note and from the sung one.
#pragma once
#include <span>

#include "decode/decode.hpp"
#include "firmus/result.hpp"
#include "measure/measure.hpp"

namespace firmus::take {

/// The row of a written note, not yet sung: name, place, interval from the note before it; status missing.
NoteResult row_of(const Melody& melody, int index);

/// Writes a sung note into its row: times, pitch, standard error, scoop, vibrato, level.
void fill_row(NoteResult& row, const NotePitch& pitch, const DecodedNote& note, double a4_hz,
              const std::optional<Key>& key = std::nullopt);

}  // namespace firmus::take
