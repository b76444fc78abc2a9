// Instruments of a sound font, rendered by fluidsynth from Standard MIDI Files: the same notes once as they are and
// once detuned by pitch bend. Whatever the font's own tuning is, the measured pitch must move by the bend.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "against_truth.hpp"
#include "midi.hpp"
#include "sound_files.hpp"

using namespace firmus;
using namespace firmus::reference;
using namespace firmus::support;

namespace {

constexpr const char* sound_font = "/usr/share/sounds/sf2/TimGM6mb.sf2";
constexpr int note_ticks = midi::ticks_per_second, rest_ticks = midi::ticks_per_second / 2;

// Each note of the melody a second long, half a second's rest before and after it.
std::string midi_file(const Melody& melody, int program, const std::vector<double>& bend_cents) {
  std::vector<midi::Note> notes;
  for (const WrittenNote& note : melody.notes) {
    const int onset_ticks = note.index * (note_ticks + rest_ticks) + rest_ticks;
    const double cents = bend_cents[static_cast<std::size_t>(note.index) % bend_cents.size()];
    notes.push_back({midi_key(note.pitch), cents, onset_ticks, note_ticks});
  }
  return midi::file_of(program, notes);
}

Result play(const ScratchFolder& scratch, const Melody& melody, int program, const std::vector<double>& bend_cents) {
  write_bytes(scratch.file("notes.mid"), midi_file(melody, program, bend_cents));
  const std::string command = fmt::format(
      "fluidsynth -n -i -q -r 44100 -g 0.6 -o synth.reverb.active=0 -o synth.chorus.active=0 -F '{}' '{}' '{}' "
      ">/dev/null 2>&1",
      scratch.file("notes.wav"), sound_font, scratch.file("notes.mid"));
  REQUIRE(std::system(command.c_str()) == 0);
  return measure_take(read_recording(scratch.file("notes.wav")), &melody, {});
}

struct Instrument {
  std::string name;
  int program;  ///< General MIDI, from 0
  std::string notes;
};

Melody melody_with_rests(const Instrument& instrument) {
  std::string text = "title: " + instrument.name + "\ntempo: 120\n";
  for (const char c : instrument.notes) text += c == ' ' ? std::string(":2 rest:1 ") : std::string(1, c);
  return read_melody(text + ":2\n", instrument.name);
}

}  // namespace

TEST_CASE("notes of a sound-font instrument, detuned by pitch bend, move by that many cents within 3") {
  if (!program_is_there("fluidsynth") || !std::filesystem::exists(sound_font)) {
    MESSAGE(
        "not run: sound-font instruments: fluidsynth or its small sound font is not installed (fluidsynth, "
        "timgm6mb-soundfont)");
    return;
  }
  const std::vector<double> bends = {-40, 25, -10, 40, 10, -25, 5};
  for (const Instrument& instrument : {Instrument{"flute", 73, "A4 C5 E5 D5 B4 G5 A5 F5 E5 A4"},
                                       Instrument{"clarinet", 71, "D4 F4 A4 G4 E4 C5 D5 B4 A4 D4"},
                                       Instrument{"violin", 40, "G3 D4 A4 E5 B4 F#4 C4 G4 D5 G3"},
                                       Instrument{"cello", 42, "C2 G2 D3 A3 E3 B2 F2 C3 G3 C2"}}) {
    CAPTURE(instrument.name);
    const ScratchFolder scratch;
    const Melody melody = melody_with_rests(instrument);
    const Result plain = play(scratch, melody, instrument.program, {0});
    const Result bent = play(scratch, melody, instrument.program, bends);
    CHECK(indices_with(bent, NoteStatus::missing).empty());
    for (const WrittenNote& note : melody.notes) {
      CAPTURE(note.index);
      const NoteResult& before = sung_note(plain, note.index);
      const NoteResult& after = sung_note(bent, note.index);
      REQUIRE(before.sung_hz.has_value());
      REQUIRE(after.sung_hz.has_value());
      const double moved = cents_between(Hertz(*before.sung_hz), Hertz(*after.sung_hz));
      CHECK(std::abs(moved - bends[static_cast<std::size_t>(note.index) % bends.size()]) <= 3);
    }
  }
}
