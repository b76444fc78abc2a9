#include "timed_notes.hpp"

#include <algorithm>

#include "base/frames.hpp"
#include "posterior_median.hpp"
#include "upper_median.hpp"

namespace firmus::decode {
namespace {

constexpr std::size_t least_length_frames = 14;  // 70 ms: no note ends earlier
constexpr std::size_t onsets_apart_frames = 10;  // 50 ms between one onset and the next
constexpr double middle_share = 0.6;

/// Frame of a boundary; of one past the last, the end of the recording.
std::size_t frame_of(const Observations& observed, std::span<const Boundary> boundaries, std::size_t i) {
  return i < boundaries.size() ? boundaries[i].frame : observed.end_of_notes();
}

/// Frame where each note of the path begins: about its boundary, and between those of its neighbours.
std::vector<std::size_t> starts_of_path(const Observations& observed, std::span<const Boundary> boundaries,
                                        const Path& path) {
  std::vector<std::size_t> starts;
  const auto chosen = [&](std::size_t i) { return boundaries[path.notes[i].begin].frame; };
  for (std::size_t i = 0; i < path.notes.size(); ++i) {
    const std::size_t earliest = i == 0 ? 0 : std::max(chosen(i - 1), starts.back()) + onsets_apart_frames;
    const std::size_t next = frame_of(observed, boundaries, path.notes[i].end);
    const std::size_t latest = next - std::min(next, onsets_apart_frames);
    starts.push_back(posterior_median_frame(observed.onsets.onset_logit, {earliest, chosen(i), latest}));
  }
  return starts;
}

/// Frame where a note that begins at `begin` ends: about the highest log odds of an end, no later than `limit`.
std::size_t end_of_note(const Observations& observed, std::span<const float> smooth_offsets, std::size_t begin,
                        std::size_t limit) {
  const std::size_t from = begin + least_length_frames;
  if (from >= limit) return limit;
  const auto best = std::max_element(smooth_offsets.begin() + static_cast<std::ptrdiff_t>(from),
                                     smooth_offsets.begin() + static_cast<std::ptrdiff_t>(limit));
  return posterior_median_frame(observed.onsets.offset_logit,
                                {from, static_cast<std::size_t>(best - smooth_offsets.begin()), limit});
}

}  // namespace

double pitch_of_note(std::span<const float> f0_hz, std::size_t begin, std::size_t end) {
  const auto gather = [&](std::size_t from, std::size_t to) {
    std::vector<float> values;
    for (std::size_t i = from; i < std::min(to, f0_hz.size()); ++i)
      if (f0_hz[i] > 0) values.push_back(f0_hz[i]);
    return values;
  };
  const auto margin = static_cast<std::size_t>(static_cast<double>(end - begin) * (1 - middle_share) / 2);
  auto values = gather(begin + margin, end - margin);
  if (values.empty()) values = gather(begin, end);
  if (values.empty()) return 0;
  return upper_median(std::move(values));
}

std::vector<DecodedNote> timed_notes(const Observations& observed, std::span<const Boundary> boundaries,
                                     const Path& path) {
  const std::vector<float> offsets = smooth_logits(observed.onsets.offset_logit);
  const std::vector<std::size_t> starts = starts_of_path(observed, boundaries, path);
  std::vector<DecodedNote> notes;
  for (std::size_t i = 0; i < path.notes.size(); ++i) {
    const auto& at = path.notes[i];
    const std::size_t begin = starts[i];
    const bool joined = i + 1 < starts.size() && path.notes[i + 1].begin == at.end;
    const std::size_t limit = joined ? starts[i + 1] : frame_of(observed, boundaries, at.end);
    const bool sounds_on = i + 1 < starts.size() && path.notes[i + 1].within_sound;
    const std::size_t end = sounds_on ? limit : end_of_note(observed, offsets, begin, limit);
    DecodedNote note;
    note.status = at.written ? NoteStatus::sung : NoteStatus::extra;
    note.written = at.written;
    note.onset_s = time_of_frame(begin);
    note.end_s = time_of_frame(std::max(end, begin + 1));
    note.coarse_hz = pitch_of_note(observed.f0_track.f0_hz, begin, end);
    note.transposition_semitones = at.key_cents / 100;
    note.joined = at.joined;
    notes.push_back(note);
  }
  return notes;
}

}  // namespace firmus::decode
