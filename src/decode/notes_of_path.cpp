#include "notes_of_path.hpp"

#include "alignment.hpp"
#include "attempts.hpp"
#include "octave_errors.hpp"
#include "timed_notes.hpp"
#include "upper_median.hpp"

namespace firmus::decode {
namespace {

/// The median tempo from each written note to the next, so that a pause or a hurried bar does not count.
std::optional<double> quarters_per_minute(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<double> quarter_s;
  for (std::size_t i = 1; i < notes.size(); ++i) {
    if (!notes[i].written || !notes[i - 1].written || *notes[i].written != *notes[i - 1].written + 1) continue;
    const auto to = static_cast<std::size_t>(*notes[i].written);
    const double quarters = (melody.notes[to].onset_quarters - melody.notes[to - 1].onset_quarters).value();
    if (quarters > 0) quarter_s.push_back((notes[i].onset_s - notes[i - 1].onset_s) / quarters);
  }
  if (quarter_s.empty()) return std::nullopt;
  return 60 / upper_median(std::move(quarter_s));
}

std::vector<DecodedNote> with_confidence(std::vector<DecodedNote> notes, const Alignment& alignment) {
  for (std::size_t i = 0; i < notes.size(); ++i) notes[i].match_confidence = alignment.match_confidence[i];
  return notes;
}

}  // namespace

Decoded notes_of_path(const Observations& observed, std::span<const Boundary> boundaries, const Path& path,
                      const Melody& melody) {
  OctaveCorrected corrected = correct_octave_errors(observed, melody, timed_notes(observed, boundaries, path));
  AssignedAttempts assigned = assign_attempts(melody, drop_speech(melody, std::move(corrected.notes)));
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
