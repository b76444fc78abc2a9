#include <algorithm>
#include <cmath>

#include "firmus/result.hpp"

namespace firmus {
namespace {

constexpr double seconds_per_minute = 60;

bool is_sung_in(const NoteResult& note, const KeySegment& segment) {
  return note.status == NoteStatus::sung && note.index && note.onset_s && *note.index >= segment.from_index &&
         *note.index <= segment.to_index;
}

/// Seconds from the first to the last onset in the segment; 0 without a sung note.
double seconds_of(const Result& result, const KeySegment& segment) {
  std::optional<double> from_s, to_s;
  for (const NoteResult& note : result.notes) {
    if (!is_sung_in(note, segment)) continue;
    if (!from_s) from_s = note.onset_s;
    to_s = note.onset_s;
  }
  return from_s ? *to_s - *from_s : 0;
}

/// Whether the written note is the first of its phrase that was sung.
bool begins_phrase(const Result& result, int index) {
  const NoteResult* before = nullptr;
  for (const NoteResult& note : result.notes) {
    if (!note.index || note.status != NoteStatus::sung) continue;
    if (*note.index == index) return before && before->phrase != note.phrase;
    before = &note;
  }
  return false;
}

double level_of(const KeySegment& segment) {
  return 100.0 * segment.transposition_semitones + segment.centre_cents;
}

}  // namespace

std::vector<PitchChange> pitch_changes(const Result& result) {
  std::vector<PitchChange> changes;
  const auto& segments = result.key_segments;
  for (std::size_t s = 0; s < segments.size(); ++s) {
    const KeySegment& segment = segments[s];
    if (s > 0)
      changes.push_back({PitchChange::Kind::step, level_of(segment) - level_of(segments[s - 1]), segment.from_index,
                         segment.to_index, begins_phrase(result, segment.from_index)});
    const double drift = segment.drift_cents_per_minute.value_or(0) * seconds_of(result, segment) / seconds_per_minute;
    if (segment.drift_significant && std::fabs(drift) > result.settings.tolerance_cents)
      changes.push_back({PitchChange::Kind::drift, drift, segment.from_index, segment.to_index, false});
  }
  return changes;
}

}  // namespace firmus
