// Conditions of the voice.
#include <algorithm>
#include <cmath>

#include "conditions.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

constexpr double top_hz = 1046.5;  // C6

double middle_hz(const Melody& melody) {
  double sum = 0;
  for (const WrittenNote& note : melody.notes) sum += std::log2(note.target_hz);
  return std::exp2(sum / static_cast<double>(melody.notes.size()));
}

/// Long vocal tracts sing low (the scale of singer.hpp).
double formant_scale_for(double hz) {
  return hz < 200 ? 1.0 : hz < 330 ? 1.1 : hz < 480 ? 1.17 : 1.25;
}

TruthTake natural(const std::string& name, std::uint64_t seed) {
  const Melody melody = melody_named(name);
  return sing_take(name, melody, natural_plan(melody, seed));
}

TruthTake still(const std::string& name, std::uint64_t seed) {
  const Melody melody = melody_named(name);
  singer::Plan plan = natural_plan(melody, seed);
  plan.voice.vibrato_extent_cents = plan.voice.wander_cents = 0;
  plan.voice.jitter_cents = 0.5;
  plan.voice.scoop_cents = 0;
  return sing_take(name, melody, plan);
}

TruthTake beginner(const std::string& name, std::uint64_t seed) {
  const Melody melody = melody_named(name);
  synth::Random random(seed * 31 + 1);
  singer::Plan plan = natural_plan(melody, seed);
  plan.voice.vibrato_extent_cents = 0;
  plan.voice.wander_cents = 11;
  plan.voice.jitter_cents = 3;
  plan.voice.scoop_cents = random.between(-110, -50);
  plan.voice.scoop_s = random.between(0.08, 0.14);
  plan.voice.glide_s = random.between(0.08, 0.13);
  plan.voice.breath_db = -26;
  plan.note_spread_cents = 28;
  plan.timing_spread_s = 0.03;
  plan.drift_cents = random.between(-60, 20);
  return sing_take(name, melody, plan);
}

/// The noise of the breath is almost as strong as the harmonics.
TruthTake breathy(const std::string& name, std::uint64_t seed) {
  const Melody melody = melody_named(name);
  singer::Plan plan = natural_plan(melody, seed);
  plan.voice.breath_db = -2;
  return sing_take(name, melody, plan);
}

TruthTake vibrato(const std::string& name, std::uint64_t seed) {
  const Melody melody = melody_named(name);
  synth::Random random(seed * 31 + 2);
  singer::Plan plan = natural_plan(melody, seed);
  plan.voice.vibrato_rate_hz = random.between(5.0, 6.8);
  plan.voice.vibrato_extent_cents = random.between(40, 90);
  return sing_take(name, melody, plan);
}

TruthTake top_of_range(const std::string& name, std::uint64_t seed) {
  const Melody low = melody_named(name);
  double highest_hz = 0;
  for (const WrittenNote& note : low.notes) highest_hz = std::max(highest_hz, note.target_hz.value());
  const int shift = static_cast<int>(std::lround(12 * std::log2(top_hz / highest_hz)));
  const Melody melody = melody_named(name, shift);
  singer::Plan plan = natural_plan(melody, seed);
  plan.voice.vibrato_extent_cents = 25;
  return sing_take(name + "." + std::to_string(shift), melody, plan);
}

}  // namespace

singer::Plan natural_plan(const Melody& melody, std::uint64_t seed) {
  synth::Random random(seed * 31);
  singer::Plan plan;
  plan.seed = seed;
  plan.voice.formant_scale = formant_scale_for(middle_hz(melody)) * random.between(0.96, 1.05);
  plan.voice.vibrato_extent_cents = random.between(4, 16);
  plan.voice.vibrato_rate_hz = random.between(5.0, 6.5);
  plan.voice.scoop_cents = random.between(-70, -10);
  plan.voice.scoop_s = random.between(0.05, 0.1);
  plan.voice.glide_s = random.between(0.04, 0.09);
  plan.voice.wander_cents = 6;
  plan.voice.jitter_cents = 2;
  plan.voice.legato_dip = random.between(0.7, 0.95);
  plan.voice.level_spread_db = 1.5;
  plan.note_spread_cents = 12;
  plan.timing_spread_s = 0.018;
  plan.tempo_factor = random.between(0.85, 1.1);
  plan.detune_cents = random.between(-30, 30);
  plan.says_word_ends = plan.slurs = true;
  plan.syllables = {"la", "na", "mo", "de", "su", "vi"};
  return plan;
}

std::vector<Condition> voice_conditions() {
  using Make = TruthTake (*)(const std::string&, std::uint64_t);
  const auto condition = [](std::string name, std::optional<ErrorTarget> cents, Make make) {
    Condition made;
    made.name = std::move(name);
    made.right_percent = 99.5;
    made.cents = cents;
    made.onset_ms = voice_onset_ms;
    made.clean = true;
    made.make = make;
    return made;
  };
  return {condition("natural", natural_cents, natural),
          condition("still", ErrorTarget{0.3, 1.3}, still),
          condition("beginners", std::nullopt, beginner),
          condition("vibrato", ErrorTarget{0.8, 4}, vibrato),
          condition("top of the range", natural_cents, top_of_range),
          condition("very breathy", std::nullopt, breathy)};
}

std::vector<Condition> conditions() {
  std::vector<Condition> all;
  for (const auto& part :
       {voice_conditions(), recording_conditions(), room_conditions(), structure_conditions(), instrument_conditions(),
        repeated_note_conditions(), agile_conditions(), given_conditions(), doubled_conditions()})
    all.insert(all.end(), part.begin(), part.end());
  return all;
}

}  // namespace firmus::truth
