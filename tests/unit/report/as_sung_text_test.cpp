// What is told of a take without a melody.
#include <doctest/doctest.h>

#include "firmus/report.hpp"

using namespace firmus;

namespace {

NoteResult named(int index, const char* name, double own_cents) {
  NoteResult note;
  note.index = index;
  note.written = note.sung = name;
  note.onset_s = index;
  note.end_s = index + 0.9;
  note.sung_hz = 440;
  note.errors = {own_cents + 46, own_cents, std::nullopt};
  note.spread_cents = 9 + index;
  return note;
}

void add_interval(NoteResult& note, const char* name, Direction direction, double written, double error) {
  note.interval_name = name;
  note.interval_direction = direction;
  note.interval_written_cents = written;
  note.errors.interval_cents = error;
}

Result four_notes() {
  Result result;
  result.take.name = "hum.wav";
  result.notes = {named(0, "A4", 0), named(1, "Bb4", -8), named(2, "A4", 45), named(3, "Bb4", 2)};
  add_interval(result.notes[1], "m2", Direction::up, 100, -8);
  add_interval(result.notes[2], "m2", Direction::down, -100, 53);
  add_interval(result.notes[3], "m2", Direction::up, 100, -4);
  result.notes[3].vibrato = Vibrato{5.6, 42};
  result.centre_a4_hz = 452;
  result.centre_cents = 46.6;
  KeySegment all;
  all.to_index = 3;
  result.key_segments = {all};
  return result;
}

std::string text_of(const Result& result) {
  return as_text(result, Colour::ansi, "");
}

}  // namespace

TEST_CASE("intervals as sung, notes between two names, steadiness and vibrato are told, and nothing is judged") {
  CHECK(text_of(four_notes()) == R"(Take        hum.wav
Melody      none given: nearest notes in equal temperament

4 notes found. Give --melody or --key to have them checked.

Notes found A4 Bb4 A4 Bb4

Your A      452 Hz (47 cents over 440)
Pitch drift too short to tell
Halfway     between A4 and Bb4 at 0:02.0
Steadiness  the pitch of a typical note varies by 10 cents
Vibrato     on 1 of 4 notes: 5.6 a second, 42 cents either way

Intervals as sung
  rising minor seconds: 94 cents, 6 narrow (2 of them, 92 to 96)

)");
}

TEST_CASE("without a clear centre it says so") {
  Result result = four_notes();
  result.centre_cents.reset();
  result.centre_a4_hz.reset();
  result.key_segments.clear();
  CHECK(text_of(result).find("Your A      not clear: the notes lie anywhere between the semitones\n") !=
        std::string::npos);
}
