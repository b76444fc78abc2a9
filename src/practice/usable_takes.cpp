#include "usable_takes.hpp"

#include <cmath>

#include "spelling.hpp"

namespace firmus::practice {
namespace {

/// Half a semitone: a note further off is nearer to another one.
constexpr double comfortable_cents = 50;

bool is_comfortable(const NoteResult& note) {
  return has_judged_error(note) && std::abs(*note.errors.own_cents) <= comfortable_cents;
}

}  // namespace

bool has_judged_error(const NoteResult& note) {
  const bool judged =
      note.verdict == Verdict::in_tune || note.verdict == Verdict::sharp || note.verdict == Verdict::flat;
  return judged && note.index && note.errors.own_cents;
}

std::vector<PracticeTake> usable_takes(std::span<const PracticeTake> takes) {
  std::vector<PracticeTake> kept;
  for (const PracticeTake& take : takes)
    if (!take.result->error && take.result->decision != AlignmentDecision::not_this_melody) kept.push_back(take);
  return kept;
}

std::optional<SpelledPitch> at_sung_pitch(const PracticeTake& take, const SpelledPitch& written) {
  return transposed(written, interval_of_semitones(take.result->transposition_semitones.value_or(0)));
}

std::optional<NoteRange> comfortable_range(std::span<const PracticeTake> takes) {
  std::optional<NoteRange> range;
  for (const PracticeTake& take : takes)
    for (const NoteResult& note : take.result->notes) {
      if (!is_comfortable(note)) continue;
      const auto pitch = at_sung_pitch(take, take.melody->note(*note.index).pitch);
      if (!pitch) continue;
      if (!range) range = NoteRange{*pitch, *pitch};
      if (midi_key(*pitch) < midi_key(range->low)) range->low = *pitch;
      if (midi_key(*pitch) > midi_key(range->high)) range->high = *pitch;
    }
  return range;
}

bool in_range(const std::optional<NoteRange>& range, const SpelledPitch& pitch) {
  return range && midi_key(range->low) <= midi_key(pitch) && midi_key(pitch) <= midi_key(range->high);
}

}  // namespace firmus::practice
