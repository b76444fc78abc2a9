// What ends at a boundary flows into what may begin there.
#include <algorithm>

#include "base/frames.hpp"
#include "lattice.hpp"

namespace firmus {

/// The token's note ends here, whatever comes.
void Lattice::close_note(const Token& token, float fit) {
  const std::size_t done = token.place + 1;
  offer(grid_, token, by_key_, 0, no_timing_, into_closed_.open(done));
  best_closed_ = std::max(best_closed_, token.top + fit);
}

/// The token's note ends here and the next note starts here, or the second or third next.
void Lattice::go_on(const Token& token, float fit, float seconds) {
  float skipped = 0;
  for (std::size_t step = 1; step <= 3 && token.place + step < line_.size(); ++step) {
    const std::size_t to = token.place + step;
    if (step > 1) {
      const float cost = line_[to - 1].skip_cost;
      skipped += step == 2 || cost < costs_.skip_first ? cost : costs_.skip_second;
    }
    if (token.top + fit - skipped < best_closed_ - costs_.beam) return;
    offer(grid_, token, by_key_, skipped, timing_.of(seconds, token.place, to), into_note_.open(to));
  }
}

void Lattice::pull_notes(std::size_t begin, std::size_t end, float shortness) {
  const float seconds = static_cast<float>(frame_of(end) - frame_of(begin)) * static_cast<float>(frame_hop_s);
  for (const Token& token : columns_[begin].notes) {
    float fit = impossible;
    const double pitch_cents = line_[token.place].pitch_cents;
    for (std::size_t k = token.key_from; k < token.key_to; ++k) {
      by_key_[k] = pitch_.fit(pitch_.grid_at(pitch_cents + grid_.key_cents[k])) - shortness;
      fit = std::max(fit, by_key_[k]);
    }
    if (token.top + fit < best_closed_ - costs_.beam) continue;
    close_note(token, by_key_[token.top_key]);
    if (end < boundaries_.size()) go_on(token, fit, seconds);
  }
}

/// What is spoken before the melody costs little as extras, or it would be cheaper as a poor try at the melody.
float Lattice::talk_discount() const {
  constexpr float for_certain = 0.75F;  // of the rest that a sung note has
  const float rests = sung_share(rests_.longest_frames(), static_cast<std::size_t>(pitch_.voiced_frames()));
  return costs_.spoken_before * std::clamp((1 - rests) / (1 - for_certain), 0.0F, 1.0F);
}

void Lattice::pull_extras(std::size_t begin, float shortness) {
  for (const Token& token : columns_[begin].extras) {
    const float discount = token.place == 0 ? talk_discount() : 0;
    offer(grid_, token, shortness - discount - pitch_.free_fit(), into_extra_.open(token.place));
  }
}

void Lattice::pull(std::size_t end) {
  const auto reach = static_cast<std::size_t>(costs_.longest_note_s / frame_hop_s);
  for (auto* inflows : {&into_note_, &into_closed_, &into_extra_}) inflows->clear();
  best_closed_ = impossible;
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
    pull_notes(begin, end, shortness);
    pull_extras(begin, shortness);
  }
}

}  // namespace firmus
