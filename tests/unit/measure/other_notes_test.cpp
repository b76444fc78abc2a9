// A note is first named: another note, or the written one off pitch; alike in all places where it is off alike.
#include <doctest/doctest.h>

#include <algorithm>

#include "measure/measure.hpp"

using namespace firmus;

namespace {

SpelledPitch pitch(const char* name) {
  return std::get<SpelledPitch>(parse_pitch(name));
}

std::vector<bool> named(const char* written, const std::vector<double>& cents, const Tuning& tuning = {}) {
  std::vector<NoteToName> notes;
  for (const double own : cents) notes.push_back({pitch(written), parse_key("D minor"), own});
  return sung_as_other_notes(notes, tuning);
}

bool all(const std::vector<bool>& other, bool value) {
  return std::all_of(other.begin(), other.end(), [&](bool is) { return is == value; });
}

}  // namespace

TEST_CASE("C for C sharp, off by 85 to 115 cents, is another note in all places, on either side of 100 cents") {
  CHECK(all(named("C#5", {-85, -115, -99, -94, -101, -107}), true));
  CHECK(all(named("C#5", {-85}), true));
  CHECK(all(named("C#5", {-115}), true));
}

TEST_CASE("a note that is 60 cents flat in all its places stays flat, also where one place is nearer to another note") {
  CHECK(all(named("C#5", {-60, -45, -72, -58, -66, -49}), false));
  CHECK(all(named("C#5", {55, 80, 62, 61}), false));
  CHECK(all(named("C#5", {-60}), false));
}

TEST_CASE("a note is named alike whether it was off alone or with another place") {
  CHECK(all(named("C#5", {-72}), false));
  CHECK(all(named("C#5", {-72, -70}), false));
  CHECK(all(named("C#5", {-83}), true));
  CHECK(all(named("C#5", {-83, -85}), true));
}

TEST_CASE("places where the note is right do not excuse those where it is another") {
  const std::vector<bool> other = named("C#5", {2, -97, -4, -104, 9});
  CHECK(other == std::vector<bool>{false, true, false, true, false});
  CHECK(named("C#5", {-60, -52, -64, -190}) == std::vector<bool>{false, false, false, true});
}

TEST_CASE("far off is another note, and small errors are not, whatever the tuning") {
  CHECK(all(named("A4", {-147}), true));
  CHECK(all(named("A4", {1200}), true));
  CHECK(all(named("A4", {-33, 20, 0, 40}), false));
  // In quarter-comma meantone C5 lies 76 cents under C#5.
  const Tuning meantone = parse_tuning("meantone", Key{}).value();
  CHECK(all(named("C#5", {-72, -68, -76}, meantone), true));
  CHECK(all(named("C#5", {-72, -68, -76}), false));
}

TEST_CASE("each written note is decided for itself, and none for no notes") {
  std::vector<NoteToName> notes = {{pitch("C#5"), {}, -98}, {pitch("B4"), {}, -60}, {pitch("C#5"), {}, -100}};
  CHECK(sung_as_other_notes(notes, Tuning{}) == std::vector<bool>{true, false, true});
  CHECK(sung_as_other_notes({}, Tuning{}).empty());
}
