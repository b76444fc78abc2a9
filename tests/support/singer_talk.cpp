// Speech-like sound: syllables of changing pitch in short runs with pauses, below the singing range.
#include <algorithm>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

struct SpokenSyllable {
  double from_s = 0, length_s = 0;
  double from_cents = 0, to_cents = 0;  // against the speaking pitch
  Vowel vowel = Vowel::a;
};

void write_syllable(Score& score, const SpokenSyllable& spoken, double centre_hz, const Voice& voice) {
  const auto first = static_cast<std::size_t>(spoken.from_s * control_rate_hz);
  const auto count = static_cast<std::size_t>(spoken.length_s * control_rate_hz);
  for (std::size_t i = 0; i < count && first + i < score.frames.size(); ++i) {
    const double share = (static_cast<double>(i) + 0.5) / static_cast<double>(count);
    ControlFrame& frame = score.frames[first + i];
    frame.f0_hz = centre_hz * std::exp2((spoken.from_cents + (spoken.to_cents - spoken.from_cents) * share) / 1200);
    frame.amplitude = 0.6 * std::pow(std::sin(std::numbers::pi * share), 0.6);
    frame.formant_hz = formants_of(spoken.vowel, voice.formant_scale);
  }
}

}  // namespace

void write_talk(Score& score, double from_s, double to_s, double centre_hz, const Plan& plan) {
  Random random(plan.seed, 41);
  double cursor_s = from_s;
  while (cursor_s < to_s) {
    const int syllables = 4 + static_cast<int>(random.uniform() * 9);
    double cents = random.uniform(150, 450);  // each run starts high and sinks
    for (int i = 0; i < syllables && cursor_s < to_s; ++i) {
      SpokenSyllable spoken;
      spoken.from_s = cursor_s;
      spoken.length_s = std::min(random.uniform(0.09, 0.2), to_s - cursor_s);
      spoken.from_cents = cents + random.uniform(-120, 160);
      cents -= random.uniform(0, 110);
      spoken.to_cents = cents + random.uniform(-160, 120);
      spoken.vowel = static_cast<Vowel>(static_cast<int>(random.uniform() * 5));
      write_syllable(score, spoken, centre_hz, plan.voice);
      const double noise_s = random.uniform(0.02, 0.09);
      cursor_s += spoken.length_s;
      if (random.uniform() < 0.6) score.bursts.push_back({cursor_s, noise_s, random.uniform(2000, 6000), 3000, 0.06});
      cursor_s += noise_s;
    }
    cursor_s += random.uniform(0.25, 0.9);
  }
}

}  // namespace firmus::singer
