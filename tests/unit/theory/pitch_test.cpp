#include "spelling.hpp"

using namespace firmus;

namespace {

std::string complaint(std::string_view text) {
  const auto parsed = parse_pitch(text);
  if (const auto* error = std::get_if<PitchNameError>(&parsed)) return error->what + "; " + error->remedy;
  return "";
}

}  // namespace

TEST_CASE("equal-tempered frequencies are those of the MIDI formula at A4 = 440 Hz") {
  // Computed from a4 * 2^((m - 69)/12), the MIDI 1.0 tuning formula; four decimals.
  struct Row {
    const char* name;
    double hz;
  };
  constexpr Row rows[] = {{"E1", 41.2034},  {"E2", 82.4069},   {"C3", 130.8128},  {"G3", 195.9977},
                          {"C4", 261.6256}, {"D4", 293.6648},  {"F#4", 369.9944}, {"A4", 440.0},
                          {"E5", 659.2551}, {"C6", 1046.5023}, {"E7", 2637.0205}};
  for (const Row& row : rows) {
    CAPTURE(row.name);
    CHECK(target_hz(note(row.name), Tuning{}, Hertz(440.0)) == doctest::Approx(row.hz).epsilon(5e-5 / row.hz));
  }
}

TEST_CASE("MIDI key 1 octave below C0 is 8.1758 Hz, not the erratum's 8.2104") {
  // MIDI tuning text: "00 00 01 = 8.2104 Hz" is a known erratum; key 0 is 8.1758 Hz by its own formula.
  CHECK(hz_from_midi(0) == doctest::Approx(8.1758).epsilon(5e-6));
  CHECK(hz_from_midi(0) != doctest::Approx(8.2104).epsilon(1e-3));
  CHECK(midi_from_hz(Hertz(440.0)) == doctest::Approx(69.0));
  CHECK(midi_from_hz(Hertz(415.0), Hertz(415.0)) == doctest::Approx(69.0));
  CHECK(midi_from_hz(Hertz(261.6255653)) == doctest::Approx(60.0).epsilon(1e-9));
}

TEST_CASE("cents are Ellis's 1200 log2") {
  CHECK(cents_between(Hertz(440.0), Hertz(880.0)) == doctest::Approx(1200.0));
  CHECK(cents_between(Hertz(440.0), Hertz(220.0)) == doctest::Approx(-1200.0));
  // Quarter tone, tritone, one fifth of a semitone: 50, 600, 20 cents (common practice).
  CHECK(cents_between(Hertz(1.0), Hertz(1.0293022366434921)) == doctest::Approx(50.0));
  CHECK(cents_between(Hertz(1.0), Hertz(1.4142135623730951)) == doctest::Approx(600.0));
  CHECK(transposed(Hertz(440.0), Cents(-1200)) == Hertz(220.0));
  CHECK(whole_octaves(Cents(1290), Cents(100)) == 1);
  CHECK(whole_octaves(Cents(-2310), Cents(100)) == -2);
  CHECK(whole_octaves(Cents(1310), Cents(100)) == 0);
  CHECK(whole_octaves(Cents(40), Cents(100)) == 0);
  CHECK(transposed(Hertz(1.0), Cents(50)) == doctest::Approx(1.0293022366434921));
  CHECK(cents_between(Hertz(1.0), Hertz(1.0116194403019225)) == doctest::Approx(20.0));
}

TEST_CASE("other concert pitches stand where they are computed to stand against 440 Hz") {
  CHECK(cents_between(Hertz(440), Hertz(415)) == doctest::Approx(-101.271).epsilon(5e-6));
  CHECK(cents_between(Hertz(440), Hertz(430)) == doctest::Approx(-39.800).epsilon(2e-5));
  CHECK(cents_between(Hertz(440), Hertz(442)) == doctest::Approx(7.851).epsilon(7e-5));
  CHECK(cents_between(Hertz(440), Hertz(443)) == doctest::Approx(11.764).epsilon(5e-5));
  CHECK(cents_between(Hertz(440), target_hz(note("A4"), Tuning{}, Hertz(442))) == doctest::Approx(7.851).epsilon(7e-5));
}

TEST_CASE("the tolerance of ISO 16, half a hertz either way, is +1.966 and -1.968 cents") {
  // ISO 16:1975 as quoted by others (second-hand).
  CHECK(cents_between(Hertz(440), Hertz(440.5)) == doctest::Approx(1.966).epsilon(3e-4));
  CHECK(cents_between(Hertz(440), Hertz(439.5)) == doctest::Approx(-1.968).epsilon(3e-4));
}

TEST_CASE("octave numbers change at C and follow the spelling") {
  // Scientific pitch notation (ASA): C4 is middle C, MIDI key 60; Cb4 sounds as B3, B#3 as C4.
  CHECK(midi_key(note("C4")) == 60);
  CHECK(midi_key(note("A4")) == 69);
  CHECK(midi_key(note("B3")) == 59);
  CHECK(midi_key(note("Cb4")) == 59);
  CHECK(midi_key(note("B#3")) == 60);
  CHECK(midi_key(note("C0")) == 12);
  CHECK(midi_key(note("G9")) == 127);
  CHECK(midi_key(note("F##4")) == 67);
  CHECK(midi_key(note("Ebb4")) == 62);
}

TEST_CASE("note names are read with either case, ASCII and Unicode accidentals, and a deviation") {
  CHECK(note("F#4") == SpelledPitch{'F', 1, 4, 0});
  CHECK(note("f#4") == SpelledPitch{'F', 1, 4, 0});
  CHECK(note("b3") == SpelledPitch{'B', 0, 3, 0});
  CHECK(note("bb3") == SpelledPitch{'B', -1, 3, 0});
  CHECK(note("bbb3") == SpelledPitch{'B', -2, 3, 0});
  CHECK(note("Cx5") == SpelledPitch{'C', 2, 5, 0});
  CHECK(note("C##5") == SpelledPitch{'C', 2, 5, 0});
  CHECK(note("C\u266F5") == SpelledPitch{'C', 1, 5, 0});
  CHECK(note("E\u266D4") == SpelledPitch{'E', -1, 4, 0});
  CHECK(note("F\u266E4") == SpelledPitch{'F', 0, 4, 0});
  CHECK(note("F\U0001D12A4") == SpelledPitch{'F', 2, 4, 0});
  CHECK(note("E\U0001D12B4") == SpelledPitch{'E', -2, 4, 0});
  CHECK(note("E\u266D\u266D4") == SpelledPitch{'E', -2, 4, 0});
  CHECK(note("F#4+50") == SpelledPitch{'F', 1, 4, 50});
  CHECK(note("A4-12.5") == SpelledPitch{'A', 0, 4, -12.5});
  CHECK(note("A4-0") == SpelledPitch{'A', 0, 4, 0});
}

TEST_CASE("a note's name is written in ASCII and reads back") {
  CHECK(pitch_name({'F', 1, 4, 0}) == "F#4");
  CHECK(pitch_name({'B', -1, 3, 0}) == "Bb3");
  CHECK(pitch_name({'C', 2, 5, 0}) == "C##5");
  CHECK(pitch_name({'F', 1, 4, 50}) == "F#4+50");
  CHECK(pitch_name({'E', -2, 0, -0.125}) == "Ebb0-0.125");
  for (const char letter : {'A', 'B', 'C', 'D', 'E', 'F', 'G'})
    for (int alter = -2; alter <= 2; ++alter)
      for (int octave = 0; octave <= 9; ++octave)
        for (const double cents : {0.0, 50.0, -199.999, 0.001, 33.3}) {
          const SpelledPitch pitch{letter, alter, octave, cents};
          CHECK(note(pitch_name(pitch)) == pitch);
        }
}

TEST_CASE("a name that is none is named, with what to write instead") {
  CHECK(complaint("H4") == "\"H4\" is a note name of another system; write B4");
  CHECK(complaint("h3") == "\"h3\" is a note name of another system; write B3");
  CHECK(complaint("Es4") == "\"Es4\" is a note name of another system; write Eb4");
  CHECK(complaint("Es") == "\"Es\" is a note name of another system; write Eb4");
  CHECK(complaint("as3") == "\"as3\" is a note name of another system; write Ab3");
  CHECK(complaint("fis5") == "\"fis5\" is a note name of another system; write F#5");
  CHECK(complaint("do") == "\"do\" is a note name of another system; write C4");
  CHECK(complaint("Sol5") == "\"Sol5\" is a note name of another system; write G5");
  CHECK(complaint("F#") == "\"F#\" has no octave; write F#4 (C4 is middle C)");
  CHECK(complaint("bb") == "\"bb\" has no octave; write Bb4 (C4 is middle C)");
  CHECK(complaint("F4#") == "\"F4#\" has its accidental behind the octave; write F#4");
  CHECK(complaint("C10") == "\"C10\" has no octave from 0 to 9; write its octave as one figure (C4 is middle C)");
  CHECK(complaint("C-1") == "\"C-1\" has no octave from 0 to 9; write C4 (C4 is middle C)");
  CHECK(complaint("F###4") == "\"F###4\" has more accidentals than a note can; write one of # b ## bb");
  CHECK(complaint("C4+") ==
        "\"+\" in \"C4+\" is not a deviation in cents; write C4+50 or C4-12.5, at most 200 either way");
  CHECK(complaint("C4+250") ==
        "\"+250\" in \"C4+250\" is not a deviation in cents; write C4+50 or C4-12.5, at most 200 either way");
  for (const char* text : {"", "4", "C4+nan", "C4+inf", "C4+1e2", "C4++5", "C4+-5", "C4+5,5", "X4", "\u266F", "C4z"}) {
    CAPTURE(text);
    CHECK(complaint(text) != "");
  }
}

TEST_CASE("the nearest note is spelled by the key, else by the usual mixture") {
  const auto named = [](int midi, std::optional<Key> in) {
    return pitch_name(nearest_pitch(hz_from_midi(midi), Hertz(440), in));
  };
  std::string plain;
  for (int midi = 60; midi < 72; ++midi) plain += named(midi, std::nullopt) + " ";
  CHECK(plain == "C4 C#4 D4 Eb4 E4 F4 F#4 G4 G#4 A4 Bb4 B4 ");
  CHECK(named(66, key("Gb major")) == "Gb4");
  CHECK(named(71, key("Gb major")) == "Cb5");
  CHECK(named(60, key("C# major")) == "B#3");
  CHECK(named(63, key("E major")) == "D#4");
  CHECK(named(61, key("F minor")) == "Db4");
  CHECK(named(68, key("A minor")) == "G#4");
  CHECK(nearest_pitch(Hertz(452), Hertz(440)) == SpelledPitch{'A', 0, 4, 0});   // 46.6 cents above A4
  CHECK(nearest_pitch(Hertz(453), Hertz(440)) == SpelledPitch{'B', -1, 4, 0});  // 50.4 cents above A4
  CHECK(nearest_pitch(Hertz(415), Hertz(415)) == SpelledPitch{'A', 0, 4, 0});
}

TEST_CASE("the nearest note of every sounding key is that key, in every key signature") {
  for (const char letter : {'A', 'B', 'C', 'D', 'E', 'F', 'G'})
    for (int alter = -1; alter <= 1; ++alter)
      for (const Mode mode :
           {Mode::major, Mode::minor, Mode::dorian, Mode::phrygian, Mode::lydian, Mode::mixolydian, Mode::locrian})
        for (int midi = 13; midi <= 130; ++midi)
          CHECK(midi_key(nearest_pitch(hz_from_midi(midi), Hertz(440), Key{letter, alter, mode})) == midi);
}
