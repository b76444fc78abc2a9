// Instruments of a sound font, rendered by fluidsynth from Standard MIDI Files: the same notes once as they are and
// once detuned by pitch bend. Whatever the font's own tuning is, the measured pitch must move by the bend. Pitch bend:
// 14 bits, 8192 in the middle, 2 semitones either way by default (MIDI 1.0; General MIDI Level 1).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "against_truth.hpp"
#include "sound_files.hpp"

using namespace firmus;
using namespace firmus::reference;

namespace {

constexpr const char* sound_font = "/usr/share/sounds/sf2/TimGM6mb.sf2";
constexpr int ticks_per_quarter = 480;
constexpr int note_ticks = 2 * ticks_per_quarter, rest_ticks = ticks_per_quarter;

std::string variable_length(int value) {
  std::string bytes(1, static_cast<char>(value & 0x7F));
  while (value >>= 7) bytes.insert(bytes.begin(), static_cast<char>(0x80 | (value & 0x7F)));
  return bytes;
}

std::string big_endian(std::uint32_t value, int bytes) {
  std::string text;
  for (int i = bytes - 1; i >= 0; --i) text += static_cast<char>((value >> (8 * i)) & 0xFF);
  return text;
}

std::string event(int after_ticks, int status, int first, int second) {
  std::string bytes = variable_length(after_ticks) + static_cast<char>(status) + static_cast<char>(first);
  if (second >= 0) bytes += static_cast<char>(second);
  return bytes;
}

// A Standard MIDI File (format 0) at 120 quarters a minute: each note of the melody two quarters long, a quarter's rest
// after it.
std::string midi_file(const Melody& melody, int program, const std::vector<double>& bend_cents) {
  std::string track = event(0, 0xC0, program, -1);
  for (const WrittenNote& note : melody.notes) {
    const double cents = bend_cents[static_cast<std::size_t>(note.index) % bend_cents.size()];
    const int bend = static_cast<int>(std::lround(8192 + cents / 200 * 8192));
    const int key = midi_key(note.pitch);
    track += event(rest_ticks, 0xE0, bend & 0x7F, bend >> 7);
    track += event(0, 0x90, key, 90);
    track += event(note_ticks, 0x80, key, 0);
  }
  track += variable_length(ticks_per_quarter) + std::string("\xFF\x2F\x00", 3);
  return "MThd" + big_endian(6, 4) + big_endian(0, 2) + big_endian(1, 2) + big_endian(ticks_per_quarter, 2) + "MTrk" +
         big_endian(static_cast<std::uint32_t>(track.size()), 4) + track;
}

Result play(const ScratchFolder& scratch, const Melody& melody, int program, const std::vector<double>& bend_cents) {
  write_bytes(scratch.file("notes.mid"), midi_file(melody, program, bend_cents));
  const std::string command = fmt::format(
      "fluidsynth -n -i -q -r 44100 -g 0.6 -o synth.reverb.active=0 -o synth.chorus.active=0 -F '{}' '{}' '{}' "
      ">/dev/null 2>&1",
      scratch.file("notes.wav"), sound_font, scratch.file("notes.mid"));
  REQUIRE(std::system(command.c_str()) == 0);
  return measure_take(read_take(scratch.file("notes.wav")), &melody, {});
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
      const double moved = cents_between(*before.sung_hz, *after.sung_hz);
      CHECK(std::abs(moved - bends[static_cast<std::size_t>(note.index) % bends.size()]) <= 3);
    }
  }
}
