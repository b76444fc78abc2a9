// Notes that began at earlier boundaries end at this one.
#include <algorithm>

#include "base/frames.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// The note ends here, whatever follows. `by_key`: its fit in each key.
void Lattice::finish_note(const PathHypothesis& note, std::span<const float> by_key, Arrivals& arrivals) const {
  relax(grid_, note, by_key, 0, at_any_tempo_, arrivals.note_ended.activate(note.position + 1));
  arrivals.best_ended = std::max(arrivals.best_ended, note.top + by_key[note.top_key]);
}

/// The note ends here and the next one begins here, or the second or third next. `fit`: its best in any key.
void Lattice::extend_to_next_notes(const PathHypothesis& note, std::span<const float> by_key, float fit, float seconds,
                                   Arrivals& arrivals) {
  float skipped = 0;
  for (std::size_t step = 1; step <= 3 && note.position + step < targets_.size(); ++step) {
    const std::size_t to = note.position + step;
    if (step > 1) skipped += skip_cost(targets_[to - 1], step == 2, costs_);
    if (note.top + fit - skipped < arrivals.best_ended - costs_.beam) return;
    relax(grid_, note, by_key, skipped, duration_cost_.of(seconds, note.position, to), arrivals.into_note.activate(to));
  }
}

/// The note ends here and was two written notes or more, all of its pitch, which sounded as one.
void Lattice::extend_joined(const PathHypothesis& note, std::span<const float> by_key, float fit,
                            const Segment& segment, Arrivals& arrivals) {
  const std::size_t most = std::min(targets_[note.position].same_after + 1, PathEnd::most_joined);
  for (std::size_t count = 2; count <= most; ++count) {
    const std::size_t to = note.position + count;
    const float cost = costs_.joined_note * static_cast<float>(count - 1);
    if (note.top + fit - cost < arrivals.best_ended - costs_.beam) return;
    const JoinedCost::Sound sound{frame_of(segment.begin), frame_of(segment.end), note.position, count};
    relax(grid_, note, by_key, cost, joined_cost_.before_rest(sound), arrivals.note_ended.activate(to), count);
    if (segment.end < boundaries_.size() && to < targets_.size())
      relax(grid_, note, by_key, cost, joined_cost_.before_next(sound), arrivals.into_note.activate(to), count);
  }
}

/// `by_key`: scratch.
void Lattice::extend_notes(const Segment& segment, std::vector<float>& by_key, Arrivals& arrivals) {
  for (const PathHypothesis& note : columns_[segment.begin].notes) {
    float fit = log_zero;
    const double pitch_cents = targets_[note.position].pitch_cents;
    for (std::size_t k = note.key_from; k < note.key_to; ++k) {
      by_key[k] = pitch_.fit(pitch_.grid_at(pitch_cents + grid_.key_cents[k])) - segment.shortness;
      fit = std::max(fit, by_key[k]);
    }
    if (note.top + fit < arrivals.best_ended - costs_.beam) continue;
    finish_note(note, by_key, arrivals);
    if (segment.end < boundaries_.size()) extend_to_next_notes(note, by_key, fit, segment.seconds, arrivals);
    if (targets_[note.position].same_after > 0) extend_joined(note, by_key, fit, segment, arrivals);
  }
}

/// Extra notes that are speech before the melody cost less, or a poor match with target notes would be cheaper.
float Lattice::speech_discount() const {
  constexpr float surely_sung = 0.75F;  // sustained_share
  const float sustained =
      sustained_share(stable_runs_.longest_frames(), static_cast<std::size_t>(pitch_.voiced_frames()));
  return costs_.speech_prior * std::clamp((1 - sustained) / (1 - surely_sung), 0.0F, 1.0F);
}

void Lattice::extend_extras(const Segment& segment, Arrivals& arrivals) const {
  for (const PathHypothesis& extra : columns_[segment.begin].extras) {
    const float discount = extra.position == 0 ? speech_discount() : 0;
    relax(grid_, extra, segment.shortness - discount - pitch_.free_fit(),
          arrivals.extra_ended.activate(extra.position));
  }
}

Lattice::Segment Lattice::segment_between(std::size_t begin, std::size_t end) const {
  const float missing = static_cast<float>(std::max(0, costs_.least_voiced_frames - pitch_.voiced_frames()));
  const float seconds = static_cast<float>(frame_of(end) - frame_of(begin)) * static_cast<float>(frame_hop_s);
  const float shortness =
      costs_.unvoiced_frame * missing + costs_.short_per_s * std::max(0.0F, costs_.least_note_s - seconds);
  return {begin, end, seconds, shortness};
}

void Lattice::extend_segments(std::size_t end, Arrivals& arrivals) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / frame_hop_s);
  arrivals.clear();
  pitch_.start_at(end);
  stable_runs_.start_at(end);
  std::vector<float> by_key(grid_.key_cents.size());
  for (std::size_t begin = end; begin-- > first_in_reach_;) {
    if (frame_of(end) - frame_of(begin) > reach && begin + 1 < end) break;
    pitch_.extend_back();
    stable_runs_.extend_back();
    if (columns_[begin].notes.empty() && columns_[begin].extras.empty()) continue;
    pitch_.transform();
    const Segment segment = segment_between(begin, end);
    extend_notes(segment, by_key, arrivals);
    extend_extras(segment, arrivals);
  }
}

}  // namespace firmus::decode
