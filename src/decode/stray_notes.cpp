#include "stray_notes.hpp"

#include <cmath>

#include "alignment.hpp"

namespace firmus::decode {
namespace {

// Of the notes of 51 annotated takes the annotators still give those up to 540 cents off to their written note.
constexpr double stray_from_semitones = 7, near_octave_semitones = 1.5;
constexpr double low_confidence = 0.4;  // of those below, 6.5 % are misplaced

bool is_far(const Melody& melody, const DecodedNote& note) {
  if (note.coarse_hz <= 0) return false;
  const double written_hz = melody.notes[static_cast<std::size_t>(*note.written)].target_hz;
  const double off = 12 * std::log2(note.coarse_hz / written_hz) - note.transposition_semitones;
  return std::abs(off) > stray_from_semitones && std::abs(off - 12 * std::round(off / 12)) > near_octave_semitones;
}

/// Whether the written notes before and after note `i` are about as far apart as they should be, given the pace of the
/// take: then there was time for the note, and it was sung wrong and at a wrong time.
bool has_time(const Melody& melody, const std::vector<DecodedNote>& notes, std::size_t i, double quarter_s) {
  constexpr double within_factor = 2;
  const auto neighbour = [&](std::size_t from, std::ptrdiff_t step) -> const DecodedNote* {
    for (auto k = static_cast<std::ptrdiff_t>(from) + step; k >= 0 && k < std::ssize(notes); k += step)
      if (notes[static_cast<std::size_t>(k)].written) return &notes[static_cast<std::size_t>(k)];
    return nullptr;
  };
  const DecodedNote *before = neighbour(i, -1), *after = neighbour(i, 1);
  if (before == nullptr || after == nullptr || *before->written >= *notes[i].written ||
      *after->written <= *notes[i].written)
    return false;
  const auto quarters_at = [&](const DecodedNote& note) {
    return melody.notes[static_cast<std::size_t>(*note.written)].onset_quarters;
  };
  const double expected_s = (quarters_at(*after) - quarters_at(*before)).value() * quarter_s;
  const double sung_s = after->onset_s - before->onset_s;
  return sung_s < within_factor * expected_s && expected_s < within_factor * sung_s;
}

}  // namespace

std::vector<DecodedNote> strays_to_extras(const Melody& melody, std::vector<DecodedNote> notes) {
  const std::vector<double> confidence = assess_alignment(melody, notes).match_confidence;
  const std::vector<char> rhythm = nearly_in_rhythm(melody, notes);
  const auto per_minute = quarters_per_minute(melody, notes);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    DecodedNote& note = notes[i];
    if (!note.written || rhythm[i] || (per_minute && has_time(melody, notes, i, 60 / *per_minute)) ||
        confidence[i] >= low_confidence || !is_far(melody, note))
      continue;
    note.written.reset();
    note.status = NoteStatus::extra;
  }
  return notes;
}

}  // namespace firmus::decode
