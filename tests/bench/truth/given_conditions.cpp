// Conditions of two sources in turn: a piano or a guitar gives each note, and the student sings it after.
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

/// How the notes are given in one take.
struct Giving {
  int program = 0;                        ///< General MIDI, from 0
  int octave_semitones = 0;               ///< from the sung note
  double held_s = 0;                      ///< from the stroke to the damper; a ringing note is held longer
  double before_s = 0;                    ///< from the damper, or the end of held_s, to the sung note
  double ringing_s = 0;                   ///< held on into the sung note
  double after_s = 0;                     ///< from the sung note to the next stroke
  double louder_db = 0;                   ///< than the voice
  double tuning_cents = 0;                ///< of the instrument, from 440 Hz
  static constexpr double spread = 0.12;  ///< of each time, standard deviation as a share of it
};

/// In turn a tidy singer, a beginner and one with vibrato.
singer::Plan plan_of(const Melody& melody, std::uint64_t seed) {
  singer::Plan plan = natural_plan(melody, seed);
  synth::Random random(seed * 31 + 3);
  if (seed % 3 == 1) {
    plan.voice.vibrato_extent_cents = 0;
    plan.voice.wander_cents = 11;
    plan.voice.jitter_cents = 3;
    plan.note_spread_cents = 28;
  }
  if (seed % 3 == 2) plan.voice.vibrato_extent_cents = random.between(30, 60);
  plan.detune_cents = random.between(-12, 12);  // who has just heard the note sings near it
  plan.room.reverb_db = random.between(-22, -12);
  plan.slurs = false;
  return plan;
}

double varied(double seconds, synth::Random& random) {
  return seconds * (1 + Giving::spread * std::clamp(random.normal(), -2.0, 2.0));
}

/// The melody with room before each note for the one that is given. The singer takes a breath's time off each note.
Melody with_room(Melody melody, const Giving& giving, const singer::Plan& plan, synth::Random& random) {
  constexpr std::int64_t parts = 960;  // of a quarter
  constexpr double least_s = 0.55;     // a shorter note is sung longer, as one does after a given note
  Fraction at(0);
  for (WrittenNote& note : melody.notes) {
    const double quarter_s = 60 / (note.quarters_per_minute.value_or(90) * plan.tempo_factor);
    const auto fraction = [&](double seconds) {
      return Fraction(static_cast<std::int64_t>(std::lround(seconds / quarter_s * parts)), parts);
    };
    at = at + fraction(varied(giving.held_s + giving.before_s + giving.after_s, random));
    note.onset_quarters = at;
    note.length_quarters = fraction(std::max(least_s, note.length_quarters.value() * quarter_s));
    at = at + note.length_quarters;
    note.phrase = note.index + 1;
  }
  return melody;
}

/// The notes as the instrument gives them, each ending `before_s` before the sung one.
std::vector<float> given(const TruthTake& take, const Giving& giving, synth::Random& random) {
  std::vector<midi::Note> notes;
  for (const TrueNote& sung : take.notes) {
    const WrittenNote& written = take.melody.notes[static_cast<std::size_t>(*sung.written)];
    const double from_s = sung.onset_s - varied(giving.before_s, random) - varied(giving.held_s, random);
    const double to_s =
        giving.ringing_s > 0 ? sung.onset_s + varied(giving.ringing_s, random) : from_s + varied(giving.held_s, random);
    const int velocity = 80 + static_cast<int>(10 * std::clamp(random.normal(), -2.0, 2.0));
    const int onset = std::max(static_cast<int>(from_s * midi::ticks_per_second),
                               notes.empty() ? 0 : notes.back().onset_ticks + notes.back().length_ticks + 1);
    notes.push_back({midi_key(written.pitch) + giving.octave_semitones, std::round(giving.tuning_cents), onset,
                     std::max(100, static_cast<int>(to_s * midi::ticks_per_second) - onset), velocity});
  }
  return render_midi(midi::file_of(giving.program, notes), take.rate_hz);
}

TruthTake sung_after(const std::string& melody_name, std::uint64_t seed, const Giving& giving) {
  const Melody melody = melody_named(melody_name);
  const singer::Plan plan = plan_of(melody, seed);
  synth::Random random(seed * 131 + 17);
  TruthTake take = sing_take(melody_name, with_room(melody, giving, plan, random), plan);
  take.melody = melody;
  add_sound(take, given(take, giving, random), -giving.louder_db);
  add_reverb(take, random.between(0.3, 0.6), random.between(12, 20), seed);
  return take;
}

constexpr int lowest_given_key = 40;  // E2: nobody gives notes lower than that

int lowest_key(const Melody& melody) {
  int lowest = 127;
  for (const WrittenNote& note : melody.notes) lowest = std::min(lowest, midi_key(note.pitch));
  return lowest;
}

template <std::size_t N>
Condition giving_row(const std::string& name, const std::array<int, N>& programs, bool rings) {
  Condition condition;
  condition.name = name;
  condition.right_percent = 97;
  condition.onset_ms = voice_onset_ms;
  if (!sound_font_is_there())
    condition.not_run = "fluidsynth or its small sound font (timgm6mb-soundfont) is not installed";
  condition.make = [programs, rings](const std::string& melody_name, std::uint64_t seed) {
    constexpr std::array<int, 4> octaves = {0, 12, 0, -12};
    synth::Random random(seed * 31 + 29);
    Giving giving;
    giving.program = programs[static_cast<std::size_t>(random.between(0, N))];
    giving.octave_semitones = octaves[static_cast<std::size_t>(random.between(0, octaves.size()))];
    if (lowest_key(melody_named(melody_name)) + giving.octave_semitones < lowest_given_key)
      giving.octave_semitones = 12;
    giving.held_s = random.between(0.4, 1.2);
    giving.before_s = random.between(0.1, 0.6);
    giving.after_s = random.between(0.15, 0.7);
    giving.ringing_s = rings ? random.between(0.1, 0.4) : 0;
    giving.louder_db = random.between(-6, 6);
    giving.tuning_cents = random.between(-10, 10);
    return sung_after(melody_name, seed, giving);
  };
  return condition;
}

}  // namespace

std::vector<Condition> given_conditions() {
  constexpr std::array<int, 3> pianos = {0, 1, 4};  // grand, bright, electric
  constexpr std::array<int, 2> guitars = {24, 25};  // nylon, steel
  return {giving_row("piano gives notes", pianos, false), giving_row("piano rings on", pianos, true),
          giving_row("guitar gives notes", guitars, false)};
}

}  // namespace firmus::truth
