#include "instruments.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>

#include "degrade.hpp"
#include "lone_keys.hpp"
#include "midi.hpp"
#include "sound_files.hpp"
#include "synth.hpp"

namespace firmus::truth {

using namespace support;
namespace {

constexpr int rate_hz = 44100;
constexpr double lead_s = 0.7;
constexpr double bend_cents = 12, timing_s = 0.012;  // standard deviations
constexpr double room_db = 50;                       // noise, below the notes
constexpr double heard_share = 0.27;    // of the attack: 15 dB under the whole, x^2 (3 - 2 x) = 10^(-15/20)
constexpr int top_of_violin_key = 100;  // E7

struct Span {
  int lowest = std::numeric_limits<int>::max(), highest = 0;
};

Span span_of(const Melody& melody) {
  Span span;
  for (const WrittenNote& note : melody.notes) {
    span.lowest = std::min(span.lowest, midi_key(note.pitch));
    span.highest = std::max(span.highest, midi_key(note.pitch));
  }
  return span;
}

/// Transposition by whole octaves to the middle of the instrument's range, and by semitones into it where octaves are
/// not enough.
int shift_into(const Instrument& instrument, const Span& span) {
  const double apart = (instrument.lowest_key + instrument.highest_key - span.lowest - span.highest) / 2.0;
  int shift = 12 * static_cast<int>(std::lround(apart / 12));
  shift = std::max(shift, instrument.lowest_key - span.lowest);
  return std::min(shift, instrument.highest_key - span.highest);
}

double seconds_per_quarter(const WrittenNote& note) {
  return 60 / note.quarters_per_minute.value_or(90);
}

double onset_of(const WrittenNote& note) {
  return lead_s + note.onset_quarters.value() * seconds_per_quarter(note);
}

/// Share of its written length for which a note sounds.
double held_share(const Melody& melody, const WrittenNote& note, bool legato) {
  const auto next = static_cast<std::size_t>(note.index) + 1;
  if (next >= melody.notes.size() || melody.notes[next].phrase != note.phrase) return 0.8;
  if (midi_key(melody.notes[next].pitch) == midi_key(note.pitch)) return 0.85;
  return legato ? 1.0 : 0.8;
}

std::vector<midi::Note> notes_to_play(const Melody& melody, synth::Random& random, bool legato) {
  std::vector<midi::Note> notes;
  std::vector<double> onsets;
  for (const WrittenNote& note : melody.notes)
    onsets.push_back(onset_of(note) + timing_s * std::clamp(random.normal(), -2.0, 2.0));
  for (const WrittenNote& note : melody.notes) {
    const auto i = static_cast<std::size_t>(note.index);
    const double most_s = i + 1 < onsets.size() ? onsets[i + 1] - onsets[i] : 10;
    const double length_s =
        std::min(most_s, note.length_quarters.value() * seconds_per_quarter(note)) * held_share(melody, note, legato);
    notes.push_back({midi_key(note.pitch) + melody.sounds_semitones,
                     std::round(bend_cents * std::clamp(random.normal(), -2.5, 2.5)),
                     static_cast<int>(std::lround(onsets[i] * midi::ticks_per_second)),
                     static_cast<int>(length_s * midi::ticks_per_second)});
  }
  return notes;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

TrueNote truth_of(const Instrument& instrument, const midi::Note& note, int index, double next_on_s) {
  const LoneKey& key = lone_key(instrument.program, note.key);
  const double on_s = static_cast<double>(note.onset_ticks) / midi::ticks_per_second;
  const double off_s = on_s + static_cast<double>(note.length_ticks) / midi::ticks_per_second;
  const double from_s = on_s + key.attack_s, to_s = std::min(off_s + key.release_s, next_on_s);
  std::vector<double> middle;
  for (std::size_t i = 0; i < key.f0_hz.size(); ++i) {
    const double share = (on_s + static_cast<double>(i) * lone_key_hop_s - from_s) / (to_s - from_s);
    if (share >= 0.2 && share <= 0.8) middle.push_back(key.f0_hz[i]);
  }
  if (middle.empty()) middle.push_back(key.f0_hz[static_cast<std::size_t>((to_s - on_s) / 2 / lone_key_hop_s)]);
  return {from_s, to_s, median(middle) * std::exp2(note.bend_cents / 1200), index, NoteStatus::sung};
}

struct AttackRange {
  double least_s = 0, most_s = 0;
};

synth::Note bowed_note(const WrittenNote& written, AttackRange attack, synth::Random& random, bool vibrato) {
  const double length_s = written.length_quarters.value() * seconds_per_quarter(written);
  synth::Note note;
  note.pitch_hz = written.target_hz * std::exp2(bend_cents * random.normal() / 1200);
  note.gap_after_s = random.between(0.03, 0.1);
  note.length_s = length_s - note.gap_after_s;
  note.attack_s = std::min(random.between(attack.least_s, attack.most_s), 0.6 * note.length_s);
  note.timbre = synth::Timbre::plain;
  note.wander = synth::Wander{3, 0.12, 1, 0.012};
  if (!vibrato || length_s < 0.4) return note;
  note.vibrato_hz = random.between(5.2, 6.4);
  note.vibrato_cents = random.between(15, 35);
  note.vibrato_phase = random.uniform();
  return note;
}

/// The melody `shift` semitones up on an additive bowed instrument.
TruthTake bow_take(const std::string& melody_name, int shift, AttackRange attack, std::uint64_t seed) {
  TruthTake take;
  take.melody_name = shift == 0 ? melody_name : melody_name + "." + std::to_string(shift);
  take.melody = melody_named(melody_name, shift);
  synth::Random random(seed * 131 + 7);
  std::vector<synth::Note> notes;
  for (const WrittenNote& note : take.melody.notes) {
    notes.push_back(bowed_note(note, attack, random, seed % 2 == 0));
    const auto next = static_cast<std::size_t>(note.index) + 1;
    if (next < take.melody.notes.size())
      notes.back().gap_after_s +=
          onset_of(take.melody.notes[next]) - onset_of(note) - note.length_quarters.value() * seconds_per_quarter(note);
  }
  const synth::Sound sound = synth::render(notes, seed, lead_s);
  take.samples = sound.values;
  for (std::size_t i = 0; i < sound.notes.size(); ++i) {
    const synth::NoteTruth& note = sound.notes[i];
    const double heard_s = note.onset_s + heard_share * notes[i].attack_s;
    take.notes.push_back({heard_s, note.end_s, note.pitch_hz, static_cast<int>(i), NoteStatus::sung});
  }
  take.attempts = attempts_in(take.notes, take.melody.notes.size());
  add_noise(take, room_db, seed);
  return take;
}

}  // namespace

const std::vector<Instrument>& sound_font_instruments() {
  static const std::vector<Instrument> instruments = {
      {"violin", 40, 55, 88}, {"viola", 41, 48, 76},    {"cello", 42, 36, 69},  {"contrabass", 43, 28, 55},
      {"flute", 73, 60, 88},  {"clarinet", 71, 50, 82}, {"trumpet", 56, 55, 79}};
  return instruments;
}

bool sound_font_is_there() {
  return program_is_there("fluidsynth") && std::filesystem::exists("/usr/share/sounds/sf2/TimGM6mb.sf2");
}

TruthTake play_take(const Instrument& instrument, const std::string& melody_name, std::uint64_t seed) {
  TruthTake take;
  const Melody written = melody_named(melody_name);
  const int shift = shift_into(instrument, span_of(written));
  take.melody_name = shift == 0 ? melody_name : melody_name + "." + std::to_string(shift);
  take.melody = melody_named(melody_name, shift);
  take.rate_hz = rate_hz;
  synth::Random random(seed * 131 + static_cast<std::uint64_t>(instrument.program));
  const std::vector<midi::Note> notes = notes_to_play(take.melody, random, seed % 2 == 0);
  take.samples = render_midi(midi::file_of(instrument.program, notes), rate_hz);
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const double next_on_s =
        i + 1 < notes.size() ? static_cast<double>(notes[i + 1].onset_ticks) / midi::ticks_per_second : 1e9;
    take.notes.push_back(truth_of(instrument, notes[i], static_cast<int>(i), next_on_s));
  }
  take.attempts = attempts_in(take.notes, take.melody.notes.size());
  add_noise(take, room_db, seed);
  return take;
}

TruthTake play_top_of_violin(const std::string& melody_name, std::uint64_t seed) {
  const int shift = top_of_violin_key - span_of(melody_named(melody_name)).highest;
  return bow_take(melody_name, shift, {0.02, 0.05}, seed);
}

TruthTake play_slow_bow(int lowest_key, int highest_key, const std::string& melody_name, std::uint64_t seed) {
  const Instrument range{"slow bow", 0, lowest_key, highest_key};
  return bow_take(melody_name, shift_into(range, span_of(melody_named(melody_name))), {0.12, 0.3}, seed);
}

}  // namespace firmus::truth
