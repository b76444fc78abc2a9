#include "notes_of_path.hpp"

#include <algorithm>
#include <cmath>

#include "base/frames.hpp"
#include "posterior_median.hpp"

namespace firmus::decode {
namespace {

constexpr std::size_t least_length_frames = 14;  // 70 ms: no note ends earlier
constexpr std::size_t onsets_apart_frames = 10;  // 50 ms between one note's start and the next
constexpr double middle_share = 0.6;
constexpr double far_semitones = 4.0;
// So much weaker, in peak height, the wanted candidate may be. Every multiple of a period is as strong as it, so that
// one below the line must be nearly a tie. One well above it is weaker by 0.25 in all but 0.7 % of the notes of
// annotated takes, unless the line follows two sounds at once: the note and a room's tail of the one before.
constexpr double weaker_below = 0.12, weaker_above = 0.25;
constexpr double found_in_share = 0.6;  // of the note's voiced frames

/// Median of f0 over the middle of [begin, end); 0 when nothing there is voiced.
double middle_pitch(std::span<const float> f0_hz, std::size_t begin, std::size_t end) {
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
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// Frame of a boundary; past the last one, the end of the take.
std::size_t frame_of(const Observations& observed, std::span<const Boundary> boundaries, std::size_t i) {
  return i < boundaries.size() ? boundaries[i].frame : observed.frames();
}

/// Frame where each note of the path starts: about the boundary that was chosen, between its neighbours'.
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

/// Where a note that starts at `begin` stops sounding: about the strongest offset evidence, at `limit` at the latest.
std::size_t end_of_note(const Observations& observed, std::span<const float> smooth_offsets, std::size_t begin,
                        std::size_t limit) {
  const std::size_t from = begin + least_length_frames;
  if (from >= limit) return limit;
  const auto best = std::max_element(smooth_offsets.begin() + static_cast<std::ptrdiff_t>(from),
                                     smooth_offsets.begin() + static_cast<std::ptrdiff_t>(limit));
  return posterior_median_frame(observed.onsets.offset_logit,
                                {from, static_cast<std::size_t>(best - smooth_offsets.begin()), limit});
}

std::optional<PitchCandidate> nearest_candidate(const Observations& observed, std::size_t frame, double hz) {
  std::optional<PitchCandidate> best;
  for (const auto& candidate : observed.evidence.at(frame)) {
    const double away = std::abs(12 * std::log2(candidate.f0_hz / hz));
    if (away < far_semitones && (!best || candidate.nsdf_peak > best->nsdf_peak)) best = candidate;
  }
  return best;
}

}  // namespace

std::vector<DecodedNote> notes_of_path(const Observations& observed, std::span<const Boundary> boundaries,
                                       const Path& path) {
  const std::vector<float> offsets = smooth_logits(observed.onsets.offset_logit);
  const std::vector<std::size_t> starts = starts_of_path(observed, boundaries, path);
  std::vector<DecodedNote> notes;
  for (std::size_t i = 0; i < path.notes.size(); ++i) {
    const auto& at = path.notes[i];
    const std::size_t begin = starts[i];
    const bool tied = i + 1 < starts.size() && path.notes[i + 1].begin == at.end;
    const std::size_t limit = tied ? starts[i + 1] : frame_of(observed, boundaries, at.end);
    const std::size_t end = end_of_note(observed, offsets, begin, limit);
    DecodedNote note;
    note.status = at.written ? NoteStatus::sung : NoteStatus::extra;
    note.written = at.written;
    note.onset_s = static_cast<double>(begin) * frame_hop_s;
    note.end_s = static_cast<double>(std::max(end, begin + 1)) * frame_hop_s;
    note.coarse_hz = middle_pitch(observed.f0_track.f0_hz, begin, end);
    note.transposition_semitones = at.key_cents / 100;
    notes.push_back(note);
  }
  return notes;
}

void correct_octave_errors(const Observations& observed, const Melody& melody, std::vector<DecodedNote>& notes,
                           std::vector<float>& f0_hz) {
  for (auto& note : notes) {
    if (!note.written || note.coarse_hz <= 0) continue;
    const double wanted =
        melody.notes[static_cast<std::size_t>(*note.written)].target_hz * std::exp2(note.transposition_semitones / 12);
    if (std::abs(12 * std::log2(note.coarse_hz / wanted)) < far_semitones) continue;
    const std::size_t begin = frame_at(note.onset_s), end = std::min(frame_at(note.end_s), observed.frames());
    std::vector<float> moved(f0_hz.begin() + static_cast<std::ptrdiff_t>(begin),
                             f0_hz.begin() + static_cast<std::ptrdiff_t>(end));
    int voiced = 0, found = 0;
    double old_strength = 0, new_strength = 0;
    for (std::size_t i = begin; i < end; ++i) {
      if (!observed.f0_track.voiced(i)) continue;
      ++voiced;
      const auto candidate = nearest_candidate(observed, i, wanted);
      moved[i - begin] = candidate ? candidate->f0_hz : 0.0F;
      if (!candidate) continue;
      ++found;
      old_strength += observed.f0_track.nsdf_peak[i];
      new_strength += candidate->nsdf_peak;
    }
    const double weaker_by_at_most = wanted > note.coarse_hz ? weaker_above : weaker_below;
    if (found == 0 || found < found_in_share * voiced || new_strength < old_strength - weaker_by_at_most * found)
      continue;
    std::ranges::copy(moved, f0_hz.begin() + static_cast<std::ptrdiff_t>(begin));
    note.coarse_hz = middle_pitch(f0_hz, begin, end);
  }
}

}  // namespace firmus::decode
