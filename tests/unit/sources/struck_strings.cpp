#include "struck_strings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "firmus/audio.hpp"

namespace firmus::sources_test {

void add(synth::Sound& sound, const String& string) {
  constexpr int partials = 6;
  constexpr double damped_s = 0.06, struck_s = 0.004;
  const auto first = static_cast<std::size_t>(string.from_s * Samples::rate_hz);
  for (std::size_t i = first; i < sound.values.size(); ++i) {
    const double t = static_cast<double>(i - first) / Samples::rate_hz;
    if (string.from_s + t > string.to_s + damped_s) return;
    const double damper = std::clamp(1 - (string.from_s + t - string.to_s) / damped_s, 0.0, 1.0);
    const double level = string.amplitude * std::pow(10, -string.db_per_s * t / 20) * std::min(1.0, t / struck_s);
    for (int k = 1; k <= partials && k * string.hz < Samples::rate_hz / 2.0; ++k)
      sound.values[i] +=
          static_cast<float>(damper * level / k * std::sin(2 * std::numbers::pi * k * string.hz * t + 0.7 * k));
  }
}

synth::Sound Lesson::sung() const {
  synth::Random random(seed);
  std::vector<synth::Note> notes;
  for (const double key : midi) {
    synth::Note note;
    note.pitch_hz = 440 * std::exp2((key - 69 + 0.15 * random.normal()) / 12);
    note.length_s = length_s;
    note.gap_after_s = room_s;
    note.attack_s = 0.04;
    note.scoop_cents = -40, note.scoop_s = 0.07;
    note.wander = synth::Wander{};
    note.vowel = static_cast<int>(notes.size()) % 5;
    if (notes.size() % 2 == 0) note.vibrato_hz = 5.6, note.vibrato_cents = 25;
    notes.push_back(note);
  }
  synth::Sound sound = synth::render(notes, seed, room_s);
  synth::add_noise(sound, 45, seed);
  return sound;
}

String Lesson::giving(std::size_t i, const synth::Sound& sound, double db_per_s, int octaves) const {
  const double to_s = sound.notes[i].onset_s - 0.25;
  return {to_s - 0.65, to_s, 440 * std::exp2((midi[i] - 69) / 12 + octaves), db_per_s};
}

std::vector<double> some_tune(std::uint64_t seed) {
  synth::Random random(seed);
  std::vector<double> midi = {60};
  while (midi.size() < 20) {
    const double key = 57 + std::floor(random.between(0, 13));
    if (key != midi.back()) midi.push_back(key);
  }
  return midi;
}

}  // namespace firmus::sources_test
