// What ends at a boundary flows into what may begin there.
#include <algorithm>

#include "base/frames.hpp"
#include "lattice.hpp"

namespace firmus::decode {

/// The token's note ends here, whatever comes.
void Lattice::finish_note(const PathHypothesis& token, float fit) {
  const std::size_t done = token.place + 1;
  relax(grid_, token, by_key_, 0, no_timing_, into_closed_.activate(done));
  best_closed_ = std::max(best_closed_, token.top + fit);
}

/// The token's note ends here and the next note starts here, or the second or third next.
void Lattice::extend_to_next_notes(const PathHypothesis& token, float fit, float seconds) {
  float skipped = 0;
  for (std::size_t step = 1; step <= 3 && token.place + step < line_.size(); ++step) {
    const std::size_t to = token.place + step;
    if (step > 1) {
      const float cost = line_[to - 1].skip_cost;
      skipped += step == 2 || cost < costs_.skip_first ? cost : costs_.skip_second;
    }
    if (token.top + fit - skipped < best_closed_ - costs_.beam) return;
    relax(grid_, token, by_key_, skipped, timing_.of(seconds, token.place, to), into_note_.activate(to));
  }
}

void Lattice::extend_notes(std::size_t begin, std::size_t end, float shortness) {
  const float seconds = static_cast<float>(frame_of(end) - frame_of(begin)) * static_cast<float>(frame_hop_s);
  for (const PathHypothesis& token : columns_[begin].notes) {
    float fit = log_zero;
    const double pitch_cents = line_[token.place].pitch_cents;
    for (std::size_t k = token.key_from; k < token.key_to; ++k) {
      by_key_[k] = pitch_.fit(pitch_.grid_at(pitch_cents + grid_.key_cents[k])) - shortness;
      fit = std::max(fit, by_key_[k]);
    }
    if (token.top + fit < best_closed_ - costs_.beam) continue;
    finish_note(token, by_key_[token.top_key]);
    if (end < boundaries_.size()) extend_to_next_notes(token, fit, seconds);
  }
}

/// What is spoken before the melody costs little as extras, or it would be cheaper as a poor try at the melody.
float Lattice::speech_discount() const {
  constexpr float for_certain = 0.75F;  // of the rest that a sung note has
  const float rests = sustained_share(rests_.longest_frames(), static_cast<std::size_t>(pitch_.voiced_frames()));
  return costs_.speech_prior * std::clamp((1 - rests) / (1 - for_certain), 0.0F, 1.0F);
}

void Lattice::extend_extras(std::size_t begin, float shortness) {
  for (const PathHypothesis& token : columns_[begin].extras) {
    const float discount = token.place == 0 ? speech_discount() : 0;
    relax(grid_, token, shortness - discount - pitch_.free_fit(), into_extra_.activate(token.place));
  }
}

void Lattice::extend_segments(std::size_t end) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / frame_hop_s);
  for (auto* inflows : {&into_note_, &into_closed_, &into_extra_}) inflows->clear();
  best_closed_ = log_zero;
  pitch_.start_at(end);
  rests_.start_at(end);
  for (std::size_t begin = end; begin-- > first_in_reach_;) {
    const std::size_t frames = frame_of(end) - frame_of(begin);
    if (frames > reach && begin + 1 < end) break;
    pitch_.extend_back();
    rests_.extend_back();
    if (columns_[begin].notes.empty() && columns_[begin].extras.empty()) continue;
    pitch_.transform();
    const float missing = static_cast<float>(std::max(0, costs_.least_voiced_frames - pitch_.voiced_frames()));
    const float seconds = static_cast<float>(frames) * static_cast<float>(frame_hop_s);
    const float shortness =
        costs_.unvoiced_frame * missing + costs_.short_per_s * std::max(0.0F, costs_.least_note_s - seconds);
    extend_notes(begin, end, shortness);
    extend_extras(begin, shortness);
  }
}

}  // namespace firmus::decode
