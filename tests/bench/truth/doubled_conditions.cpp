// Conditions of two sources at once: an instrument plays the sung line along, in unison or in another octave.
#include <algorithm>
#include <array>
#include <cmath>

#include "conditions.hpp"
#include "degrade.hpp"
#include "instruments.hpp"
#include "lone_keys.hpp"
#include "midi.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

struct Doubling {
  int program = 0;  ///< General MIDI, from 0
  int octave_semitones = 0;
  double under_db = 12;
};

/// The line with the singer's timing, a little early or late, each note until the next of its phrase begins.
std::vector<float> played_along(const TruthTake& take, const Doubling& doubling, synth::Random& random) {
  constexpr double apart_s = 0.015;  // standard deviation
  std::vector<midi::Note> notes;
  for (std::size_t i = 0; i < take.notes.size(); ++i) {
    const TrueNote& sung = take.notes[i];
    const WrittenNote& written = take.melody.notes[static_cast<std::size_t>(*sung.written)];
    const double from_s = std::max(0.05, sung.onset_s + apart_s * std::clamp(random.normal(), -2.0, 2.0));
    const int onset = std::max(static_cast<int>(from_s * midi::ticks_per_second),
                               notes.empty() ? 0 : notes.back().onset_ticks + notes.back().length_ticks + 1);
    const bool goes_on = i + 1 < take.notes.size() && take.notes[i + 1].onset_s - sung.end_s < 0.2;
    const double to_s = goes_on ? take.notes[i + 1].onset_s - 0.04 : sung.end_s;
    notes.push_back({midi_key(written.pitch) + doubling.octave_semitones, 0, onset,
                     std::max(60, static_cast<int>(to_s * midi::ticks_per_second) - onset)});
  }
  return render_midi(midi::file_of(doubling.program, notes), take.rate_hz);
}

TruthTake doubled(const std::string& melody_name, std::uint64_t seed, const Doubling& doubling) {
  const Melody melody = melody_named(melody_name);
  singer::Plan plan = natural_plan(melody, seed);
  synth::Random random(seed * 131 + 19);
  plan.detune_cents = random.between(-8, 8);  // who hears the line sings near it
  TruthTake take = sing_take(melody_name, melody, plan);
  add_sound(take, played_along(take, doubling, random), doubling.under_db);
  return take;
}

Condition doubling_row(const std::string& name, const std::vector<int>& octaves) {
  Condition condition;
  condition.name = name;
  condition.right_percent = 98;
  if (!sound_font_is_there())
    condition.not_run = "fluidsynth or its small sound font (timgm6mb-soundfont) is not installed";
  condition.make = [octaves](const std::string& melody_name, std::uint64_t seed) {
    constexpr std::array<int, 5> programs = {0, 21, 24, 48, 73};  // piano, accordion, guitar, strings, flute
    synth::Random random(seed * 31 + 37);
    Doubling doubling;
    doubling.program = programs[static_cast<std::size_t>(random.between(0, programs.size()))];
    doubling.octave_semitones =
        octaves[static_cast<std::size_t>(random.between(0, static_cast<double>(octaves.size())))];
    return doubled(melody_name, seed, doubling);
  };
  return condition;
}

}  // namespace

std::vector<Condition> doubled_conditions() {
  return {doubling_row("octave under -12", {-12}), doubling_row("octave over -12", {12}),
          doubling_row("in unison -12 dB", {0})};
}

}  // namespace firmus::truth
