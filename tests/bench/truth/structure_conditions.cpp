// Conditions of structure: another key, pace or octave, talk, a phrase left out or sung again.
#include <algorithm>
#include <array>

#include "conditions.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

using Change = std::function<void(singer::Plan&, const Melody&, std::uint64_t seed)>;

Condition planned(std::string name, double right_percent, Change change) {
  Condition condition;
  condition.name = std::move(name);
  condition.right_percent = right_percent;
  condition.cents = natural_cents;
  condition.onset_ms = voice_onset_ms;
  condition.clean = true;
  condition.make = [change = std::move(change)](const std::string& melody_name, std::uint64_t seed) {
    const Melody melody = melody_named(melody_name);
    singer::Plan plan = natural_plan(melody, seed);
    change(plan, melody, seed);
    return sing_take(melody_name, melody, plan);
  };
  return condition;
}

singer::IndexRange phrase_range(const Melody& melody, int phrase) {
  const auto is_in = [phrase](const WrittenNote& note) { return note.phrase == phrase; };
  const auto first = std::ranges::find_if(melody.notes, is_in);
  return {first->index, first->index + static_cast<int>(std::ranges::count_if(melody.notes, is_in)) - 1};
}

int phrases_of(const Melody& melody) {
  return melody.notes.back().phrase;
}

/// A phrase in the middle; if there are only two phrases, six notes from the middle on.
void skip_phrase(singer::Plan& plan, const Melody& melody, std::uint64_t) {
  const int half = static_cast<int>(melody.notes.size()) / 2;
  plan.left_out = {phrases_of(melody) > 2 ? phrase_range(melody, 2) : singer::IndexRange{half, half + 5}};
}

/// In turn: the first phrase twice; a false start and then a longer one; a stumble in the last phrase.
void restart(singer::Plan& plan, const Melody& melody, std::uint64_t seed) {
  const singer::IndexRange first = phrase_range(melody, 1), last = phrase_range(melody, phrases_of(melody));
  if (seed % 3 == 0) plan.restarts = {{first, 1.3}};
  if (seed % 3 == 1) plan.restarts = {{{0, 4}, 0.9}, {first, 1.5}};
  if (seed % 3 == 2) plan.restarts = {{{last.from, last.from + (last.to - last.from) / 2}, 1.0}};
}

/// In turn: the second phrase twice; five notes from its third on, broken off and begun again; the same two times.
void try_inside(singer::Plan& plan, const Melody& melody, std::uint64_t seed) {
  const singer::IndexRange second = phrase_range(melody, 2);
  const singer::IndexRange five{second.from + 2, second.from + 6};
  if (seed % 3 == 0) plan.restarts = {{second, 1.0}};
  if (seed % 3 == 1) plan.restarts = {{five, 0.8}};
  if (seed % 3 == 2) plan.restarts = {{five, 0.8}, {five, 0.8}};
}

void change_key(singer::Plan& plan, const Melody& melody, std::uint64_t seed) {
  constexpr std::array<double, 4> semitones = {1, -1, 2, -2};
  const int at = phrase_range(melody, phrases_of(melody) / 2 + 1).from;
  plan.key_changes = {{at, semitones[seed % semitones.size()]}};
}

void shift_key(singer::Plan& plan, const Melody&, std::uint64_t seed) {
  constexpr std::array<double, 6> semitones = {5, -4, 3, -2, 7, -5};
  plan.transposition_semitones = semitones[seed % semitones.size()];
}

TruthTake two_takes(const std::string& melody_name, std::uint64_t seed) {
  const Melody melody = melody_named(melody_name);
  const singer::Plan first = natural_plan(melody, seed);
  singer::Plan second = first;
  second.seed = seed + 500;
  second.tempo_factor *= 1.07;
  second.detune_cents += 15;
  return one_after_the_other(sing_take(melody_name, melody, first), sing_take(melody_name, melody, second));
}

}  // namespace

std::vector<Condition> structure_conditions() {
  using Seed = std::uint64_t;
  std::vector<Condition> all = {
      planned("half tempo", 99.5, [](singer::Plan& plan, const Melody&, Seed) { plan.tempo_factor *= 0.5; }),
      planned("double tempo", 99.5, [](singer::Plan& plan, const Melody&, Seed) { plan.tempo_factor *= 2; }),
      planned("other key", 99.5, shift_key),
      planned("octave low", 99.5,
              [](singer::Plan& plan, const Melody&, Seed) {
                plan.transposition_semitones = -12;
                plan.voice.formant_scale = 1.0;
              }),
      planned("key change", 99.5, change_key),
      planned("restarts", 99.5, restart),
      planned("tries inside", 98, try_inside),
      planned("two takes", 99.5, nullptr),
      planned("talk before", 99.5, [](singer::Plan& plan, const Melody&, Seed) { plan.talk_s = 12; }),
      planned("skipped phrase", 95, skip_phrase)};
  for (Condition& condition : all)
    if (condition.name == "two takes") condition.make = two_takes;
  return all;
}

}  // namespace firmus::truth
