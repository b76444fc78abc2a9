#include <doctest/doctest.h>

#include "firmus/theory.hpp"

using namespace firmus;

namespace {

std::string nearest(const char* written, double cents, const char* key = "C major", const char* tuning = "equal") {
  const Tuning tuned = parse_tuning(tuning, Key{}).value();
  return pitch_name(
      nearest_other_note(std::get<SpelledPitch>(parse_pitch(written)), Cents(cents), tuned, parse_key(key)).pitch);
}

double distance(const char* written, double cents, const char* tuning) {
  const Tuning tuned = parse_tuning(tuning, Key{}).value();
  return nearest_other_note(std::get<SpelledPitch>(parse_pitch(written)), Cents(cents), tuned).from_written_cents;
}

}  // namespace

TEST_CASE("the nearest other note is spelled in the key, and never the written one") {
  CHECK(nearest("C#5", -98, "D minor") == "C5");
  CHECK(nearest("C#5", -40, "D minor") == "C5");
  CHECK(nearest("C#5", 10, "D minor") == "D5");
  CHECK(nearest("D4", 110, "Eb major") == "Eb4");
  CHECK(nearest("A4", -1195) == "A3");
  CHECK(nearest("F#4+50", -45) == "F#4");  // to a quarter tone the plain note is another one
}

TEST_CASE("its distance is that of the tuning") {
  CHECK(distance("C#5", -90, "equal") == doctest::Approx(-100));
  CHECK(distance("C#5", -90, "meantone") == doctest::Approx(-76.049).epsilon(1e-4));  // chromatic semitone
  CHECK(distance("E4", -90, "meantone") == doctest::Approx(-76.049).epsilon(1e-4));   // to Eb4
  CHECK(distance("C4", 0, "0 30 0 0 0 0 0 0 0 0 0 -40") == doctest::Approx(130));     // C#4; B3 is 140 below
}
