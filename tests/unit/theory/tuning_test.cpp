#include <cmath>

#include "spelling.hpp"

using namespace firmus;

namespace {

/// Cents from one note to another as the tuning has them.
double cents_in(const Tuning& in, std::string_view from, std::string_view to) {
  return cents_between(target_hz(note(from), in, Hertz(440)), target_hz(note(to), in, Hertz(440)));
}

struct Row {
  const char* to;  ///< above C4
  double just, pythagorean;
};
// 5-limit just and Pythagorean intervals in cents, computed; the tables of Helmholtz/Ellis and Barbour agree.
constexpr Row table[] = {{"Db4", 111.731, 90.225},  {"D4", 203.910, 203.910},   {"Eb4", 315.641, 294.135},
                         {"E4", 386.314, 407.820},  {"F4", 498.045, 498.045},   {"F#4", 590.224, 611.730},
                         {"Gb4", 609.776, 588.270}, {"G4", 701.955, 701.955},   {"Ab4", 813.686, 792.180},
                         {"A4", 884.359, 905.865},  {"Bb4", 1017.596, 996.090}, {"B4", 1088.269, 1109.775},
                         {"C5", 1200.0, 1200.0}};

}  // namespace

TEST_CASE("just and pythagorean intervals above the tonic are those of the published tables") {
  for (const Row& row : table) {
    CAPTURE(row.to);
    CHECK(std::fabs(cents_in(tuning("just"), "C4", row.to) - row.just) < 0.0006);
    CHECK(std::fabs(cents_in(tuning("pythagorean"), "C4", row.to) - row.pythagorean) < 0.0006);
  }
}

TEST_CASE("just seconds and sevenths come in both published sizes") {
  // 10:9 between the second and the third, 16:9 from the second up to the tonic of the next octave.
  CHECK(std::fabs(cents_in(tuning("just"), "D4", "E4") - 182.404) < 0.0006);
  CHECK(std::fabs(cents_in(tuning("just"), "D4", "C5") - 996.090) < 0.0006);
}

TEST_CASE("just chromatic notes beyond the twelve follow their spelling") {
  // Augmented unison 25:24 is 70.672 cents, diminished octave 48:25 is 1129.328, augmented fifth 25:16 is 772.627
  // (computed).
  CHECK(std::fabs(cents_in(tuning("just"), "C4", "C#4") - 70.672) < 0.0006);
  CHECK(std::fabs(cents_in(tuning("just"), "C4", "Cb5") - 1129.328) < 0.0006);
  CHECK(std::fabs(cents_in(tuning("just"), "C4", "G#4") - 772.627) < 0.0006);
}

TEST_CASE("the tonic of just tuning keeps its equal-tempered place, in every key") {
  const Tuning just = tuning("just", "Eb major");
  CHECK(tuning_offset_cents(just, note("Eb4")) == doctest::Approx(0.0));
  CHECK(std::fabs(cents_in(just, "Eb4", "G4") - 386.314) < 0.0006);
  CHECK(std::fabs(cents_in(tuning("just", "A minor"), "A4", "C5") - 315.641) < 0.0006);
}

TEST_CASE("the commas have their published sizes") {
  // Pythagorean comma: twelve fifths over seven octaves, B# over C; syntonic comma: Pythagorean over just third.
  CHECK(std::fabs(cents_in(tuning("pythagorean"), "C4", "B#3") - 23.46001) < 6e-6);
  const double syntonic = cents_in(tuning("pythagorean"), "C4", "E4") - cents_in(tuning("just"), "C4", "E4");
  CHECK(std::fabs(syntonic - 21.50629) < 6e-6);
}

TEST_CASE("quarter-comma meantone has pure thirds, its tempered fifth and its wolf") {
  const Tuning meantone = tuning("meantone");
  CHECK(std::fabs(cents_in(meantone, "C4", "E4") - 386.314) < 0.0006);
  CHECK(std::fabs(cents_in(meantone, "D4", "A4") - 696.57843) < 6e-6);
  CHECK(std::fabs(cents_in(meantone, "G#4", "Eb5") - 737.637) < 0.0006);
}

TEST_CASE("A4 stands exactly at concert pitch in equal, pythagorean and meantone") {
  for (const char* name : {"equal", "pythagorean", "meantone"}) {
    CAPTURE(name);
    CHECK(target_hz(note("A4"), tuning(name), Hertz(442.0)) == 442.0);
  }
}

TEST_CASE("twelve offsets go to the keys C to B, by sound") {
  const Tuning offsets = tuning("0 1 2 3 4 5 6 7 8 -9.5 +100 -100");
  CHECK(tuning_offset_cents(offsets, note("C4")) == 0.0);
  CHECK(tuning_offset_cents(offsets, note("F#2")) == 6.0);
  CHECK(tuning_offset_cents(offsets, note("Gb2")) == 6.0);
  CHECK(tuning_offset_cents(offsets, note("A4")) == -9.5);
  CHECK(tuning_offset_cents(offsets, note("Cb4")) == -100.0);
  CHECK(tuning_name(offsets) == "0 1 2 3 4 5 6 7 8 -9.5 100 -100");
  CHECK(tuning(tuning_name(offsets)).offset_cents == offsets.offset_cents);
}

TEST_CASE("what is not a tuning is refused") {
  for (const char* text : {"", "equals", "0 0 0", "0 0 0 0 0 0 0 0 0 0 0 101", "0 0 0 0 0 0 0 0 0 0 0 nan",
                           "0 0 0 0 0 0 0 0 0 0 0 0 0", "0,0,0,0,0,0,0,0,0,0,0,0", "0 0 0 0 0 0 0 0 0 0 0 1e1"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_tuning(text, Key{}).has_value());
  }
  CHECK(tuning("Meantone ").kind == TuningKind::meantone);
  CHECK(tuning_name(tuning("just")) == "just");
}

TEST_CASE("a deviation is added to the note's place in the tuning") {
  CHECK(cents_between(target_hz(note("F#4"), Tuning{}, Hertz(440)), target_hz(note("F#4+50"), Tuning{}, Hertz(440))) ==
        doctest::Approx(50.0));
  const Tuning just = tuning("just");
  CHECK(cents_between(target_hz(note("E4"), just, Hertz(440)), target_hz(note("E4-12.5"), just, Hertz(440))) ==
        doctest::Approx(-12.5));
}

TEST_CASE("a transposing part sounds its semitones away, tuned as the note that sounds") {
  CHECK(target_hz(note("E2"), Tuning{}, Hertz(440), -12) == doctest::Approx(41.2034).epsilon(2e-6));
  // Written B4 at -2 sounds as A4 and stands exactly at concert pitch; a fourth down, E5 sounds as B4.
  CHECK(target_hz(note("B4"), tuning("pythagorean"), Hertz(440), -2) == doctest::Approx(440.0));
  CHECK(target_hz(note("E5"), tuning("meantone"), Hertz(440), -5) ==
        doctest::Approx(target_hz(note("B4"), tuning("meantone"), Hertz(440))));
  CHECK(target_hz(note("C5"), tuning("just", "C major"), Hertz(440), -2) == doctest::Approx(hz_from_midi(70)));
  const Tuning offsets = tuning("0 0 0 0 0 0 0 0 0 0 30 0");
  CHECK(target_hz(note("C5"), offsets, Hertz(440), -2) == doctest::Approx(hz_from_midi(70.3)));
}
