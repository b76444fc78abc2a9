#include "ideal.hpp"

#include <algorithm>
#include <cmath>

#include "base/frames.hpp"

namespace firmus::test {

Ideal ideal_evidence(const std::vector<Sounding>& notes, double duration_s) {
  const auto frames = static_cast<std::size_t>(duration_s / frame_hop_s) + 1;
  Ideal ideal;
  auto& [evidence, f0_track, onsets] = ideal;
  evidence.searched = {60, 1300};
  evidence.floor_db = -70;
  evidence.top_db = -20;
  evidence.level_db.assign(frames, -70);
  f0_track = {std::vector<float>(frames), std::vector<float>(frames)};
  onsets = {std::vector<float>(frames, -8), std::vector<float>(frames, -8)};
  const auto bump = [&](std::vector<float>& logits, double time_s) {
    const auto at = static_cast<std::ptrdiff_t>(frame_at(time_s));
    for (std::ptrdiff_t i = std::max<std::ptrdiff_t>(0, at - 3);
         i <= std::min<std::ptrdiff_t>(at + 3, static_cast<std::ptrdiff_t>(frames) - 1); ++i)
      logits[static_cast<std::size_t>(i)] =
          std::max(logits[static_cast<std::size_t>(i)], 6.0F - 0.5F * static_cast<float>(std::abs(i - at)));
  };
  for (const auto& note : notes) {
    for (std::size_t i = frame_at(note.onset_s); i < std::min(frames, frame_at(note.end_s)); ++i) {
      f0_track.f0_hz[i] = static_cast<float>(note.hz);
      f0_track.nsdf_peak[i] = 0.95F;
      evidence.level_db[i] = -20;
    }
    bump(onsets.onset_logit, note.onset_s);
    bump(onsets.offset_logit, note.end_s);
  }
  evidence.first_candidate.push_back(0);
  for (std::size_t i = 0; i < frames; ++i) {
    if (f0_track.voiced(i)) evidence.candidates.push_back({f0_track.f0_hz[i], 0.95F});
    evidence.first_candidate.push_back(static_cast<std::uint32_t>(evidence.candidates.size()));
  }
  return ideal;
}

std::vector<Sounding> sing_exactly(const Melody& melody, double begin_s, double quarter_s, double semitones) {
  std::vector<Sounding> notes;
  for (const auto& note : melody.notes) {
    const double onset_s = begin_s + note.onset_quarters.value() * quarter_s;
    notes.push_back({onset_s, onset_s + 0.85 * note.length_quarters.value() * quarter_s,
                     note.target_hz * std::exp2(semitones / 12)});
  }
  return notes;
}

Melody two_phrases() {
  return read_melody("meter: 4/4\nC4 E4 G4 C5 | B4 G4:2 E4 | F4 A4 G4:2 , | D4 F4 A4 G4 | E4:2 C4:2", "two phrases");
}

std::string order_of(const Decoded& decoded) {
  std::string order;
  for (const auto& note : decoded.notes) {
    if (!order.empty()) order += ' ';
    if (note.status == NoteStatus::restart) order += 'r';
    order += note.written ? std::to_string(*note.written) : "x";
  }
  return order;
}

}  // namespace firmus::test
