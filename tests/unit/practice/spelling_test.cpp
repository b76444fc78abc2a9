#include "spelling.hpp"

#include <doctest/doctest.h>

using namespace firmus;
using namespace firmus::practice;

namespace {

SpelledPitch pitch(std::string_view name) {
  return std::get<SpelledPitch>(parse_pitch(name));
}
std::string name_of(const std::optional<SpelledPitch>& found) {
  return found ? pitch_name(*found) : "none";
}

}  // namespace

// Scales as any handbook of music theory spells them (common practice).
TEST_CASE("steps of a key are spelled by it") {
  const Key d_major = *parse_key("D major"), f_minor = *parse_key("F minor");
  CHECK(name_of(diatonic_step(d_major, pitch("D4"), 2)) == "F#4");
  CHECK(name_of(diatonic_step(d_major, pitch("D4"), 6)) == "C#5");
  CHECK(name_of(diatonic_step(d_major, pitch("C#5"), -1)) == "B4");
  CHECK(name_of(diatonic_step(f_minor, pitch("F4"), 2)) == "Ab4");
  CHECK(name_of(diatonic_step(f_minor, pitch("F4"), 5)) == "Db5");
  CHECK(name_of(diatonic_step(d_major, pitch("D4"), -40)) == "none");
}

TEST_CASE("a note moved by an interval keeps the interval's spelling") {
  const auto up = [](int steps, int semitones) { return Interval{steps, semitones, Direction::up}; };
  CHECK(name_of(transposed(pitch("D4"), up(5, 9))) == "B4");    // M6
  CHECK(name_of(transposed(pitch("F#4"), up(5, 9))) == "D#5");  // M6
  CHECK(name_of(transposed(pitch("Bb3"), up(3, 6))) == "E4");   // A4
  CHECK(name_of(transposed(pitch("B3"), up(4, 6))) == "F4");    // d5
  CHECK(name_of(transposed(pitch("C4"), {2, 3, Direction::down})) == "A3");
  CHECK(name_of(transposed(pitch("D4"), interval_of_semitones(-12))) == "D3");
  CHECK(name_of(transposed(pitch("D4"), interval_of_semitones(5))) == "G4");
}
