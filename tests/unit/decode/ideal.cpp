#include "ideal.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::test {

Evidence ideal_evidence(const std::vector<Sounding>& notes, double duration_s) {
  Evidence evidence;
  evidence.lowest_hz = 60;
  evidence.highest_hz = 1300;
  evidence.floor_db = -70;
  evidence.top_db = -20;
  const auto frames = static_cast<std::size_t>(duration_s / Evidence::hop_s) + 1;
  evidence.level_db.assign(frames, -70);
  evidence.f0_track_hz.assign(frames, 0);
  evidence.clarity.assign(frames, 0);
  evidence.onset_logit.assign(frames, -8);
  evidence.offset_logit.assign(frames, -8);
  const auto bump = [&](std::vector<float>& logits, double time_s) {
    const auto at = static_cast<std::ptrdiff_t>(Evidence::frame_at(time_s));
    for (std::ptrdiff_t i = std::max<std::ptrdiff_t>(0, at - 3);
         i <= std::min<std::ptrdiff_t>(at + 3, static_cast<std::ptrdiff_t>(frames) - 1); ++i)
      logits[static_cast<std::size_t>(i)] =
          std::max(logits[static_cast<std::size_t>(i)], 6.0F - 0.5F * static_cast<float>(std::abs(i - at)));
  };
  for (const auto& note : notes) {
    for (std::size_t i = Evidence::frame_at(note.onset_s); i < std::min(frames, Evidence::frame_at(note.end_s)); ++i) {
      evidence.f0_track_hz[i] = static_cast<float>(note.hz);
      evidence.clarity[i] = 0.95F;
      evidence.level_db[i] = -20;
    }
    bump(evidence.onset_logit, note.onset_s);
    bump(evidence.offset_logit, note.end_s);
  }
  evidence.first_candidate.push_back(0);
  for (std::size_t i = 0; i < frames; ++i) {
    if (evidence.voiced(i)) evidence.candidates.push_back({evidence.f0_track_hz[i], 0.95F});
    evidence.first_candidate.push_back(static_cast<std::uint32_t>(evidence.candidates.size()));
  }
  return evidence;
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
