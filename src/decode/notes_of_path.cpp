#include "notes_of_path.hpp"

#include "alignment.hpp"
#include "attempts.hpp"
#include "octave_errors.hpp"
#include "stray_notes.hpp"
#include "timed_notes.hpp"

namespace firmus::decode {
namespace {

std::vector<DecodedNote> with_confidence(std::vector<DecodedNote> notes, const Alignment& alignment) {
  for (std::size_t i = 0; i < notes.size(); ++i) notes[i].match_confidence = alignment.match_confidence[i];
  return notes;
}

}  // namespace

Decoded notes_of_path(const Observations& observed, std::span<const Boundary> boundaries, const Path& path,
                      const Melody& melody) {
  OctaveCorrected corrected = correct_octave_errors(observed, melody, timed_notes(observed, boundaries, path));
  AssignedAttempts assigned =
      assign_attempts(melody, drop_speech(melody, strays_to_extras(melody, std::move(corrected.notes))));
  const Alignment alignment = assess_alignment(melody, assigned.notes);
  Decoded decoded;
  decoded.quarters_per_minute = quarters_per_minute(melody, assigned.notes);
  decoded.notes = with_confidence(std::move(assigned.notes), alignment);
  decoded.written = std::move(assigned.written);
  decoded.attempts = std::move(assigned.attempts);
  decoded.f0_hz = std::move(corrected.f0_hz);
  decoded.decision = alignment.decision;
  decoded.confidence = alignment.confidence;
  decoded.matched_share = assigned.matched_share;
  decoded.lacks_end = observed.ends_in_sound() && decoded.written.back() == NoteStatus::missing;
  return decoded;
}

Decoded notes_of_path(const Observations& observed, std::span<const Boundary> boundaries, const Path& path) {
  Decoded decoded;
  decoded.notes = timed_notes(observed, boundaries, path);
  decoded.f0_hz = observed.f0_track.f0_hz;
  return decoded;
}

}  // namespace firmus::decode
