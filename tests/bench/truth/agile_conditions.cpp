// Conditions: sixteenths, wide vibrato, trills.
#include <fmt/format.h>

#include "conditions.hpp"
#include "lines.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

/// At 120 quarters a minute: 125 ms a note. `dip`: the level between two notes, relative to the vowel.
Condition quick(const std::string& name, double right_percent, double dip) {
  Condition condition;
  condition.name = name;
  condition.right_percent = right_percent;
  condition.clean = true;
  condition.make = [dip](const std::string& melody_name, std::uint64_t seed) {
    constexpr double quarters_per_minute = 120;
    const Line line = sixteenths(melody_name, seed);
    synth::Random random(seed * 31 + 8);
    singer::Plan plan = natural_plan(melody_named(melody_name), seed);
    plan.tempo_factor = random.between(0.95, 1.05);
    plan.timing_spread_s = 0.008;
    plan.syllables = {"a"};
    plan.voice.glide_s = random.between(0.03, 0.05);
    plan.voice.legato_dip = dip;
    return sing_line(fmt::format("{}.sixteenths.{}", melody_name, seed), line, line, quarters_per_minute, plan);
  };
  return condition;
}

Condition ornamented(const std::string& name, std::function<void(singer::Voice&, synth::Random&)> change) {
  Condition condition;
  condition.name = name;
  condition.right_percent = 98;
  condition.clean = true;
  condition.make = [change = std::move(change)](const std::string& melody_name, std::uint64_t seed) {
    const Melody melody = melody_named(melody_name);
    synth::Random random(seed * 31 + 9);
    singer::Plan plan = natural_plan(melody, seed);
    change(plan.voice, random);
    return sing_take(melody_name, melody, plan);
  };
  return condition;
}

void wide_vibrato(singer::Voice& voice, synth::Random& random) {
  voice.vibrato_extent_cents = 80;
  voice.vibrato_rate_hz = random.between(5, 6.8);
  voice.vibrato_delay_s = -0.1;
}

/// Slower than vibrato, as tired and untrained voices do.
void wobble(singer::Voice& voice, synth::Random& random) {
  voice.vibrato_rate_hz = random.between(3, 4);
  voice.vibrato_extent_cents = random.between(25, 60);
  voice.vibrato_delay_s = 0;
}

void trill(singer::Voice& voice, synth::Random& random) {
  voice.vibrato_extent_cents = 0;
  voice.trill_cents = random.uniform() < 0.5 ? 100 : 200;
  voice.trill_rate_hz = random.between(5.5, 8);
}

}  // namespace

std::vector<Condition> agile_conditions() {
  constexpr double tongued = 0.15, legato = 0.9;
  return {quick("sixteenths tongued", 95, tongued), quick("sixteenths legato", 88, legato),
          ornamented("vibrato 80 cents", wide_vibrato), ornamented("trills", trill),
          ornamented("wobble 3 to 4 Hz", wobble)};
}

}  // namespace firmus::truth
