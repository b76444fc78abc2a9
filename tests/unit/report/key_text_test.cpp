#include <doctest/doctest.h>

#include "example.hpp"
#include "firmus/report.hpp"
#include "summary_text.hpp"

using namespace firmus;
using namespace firmus::example;

TEST_CASE("a change of key is told with the places, the keys and the drift of each stretch") {
  Result result = example::measured();
  KeySegment second = result.key_segments[0];
  result.key_segments[0].to_index = 3;
  result.key_segments[0].transposition_semitones = 0;
  second.from_index = 5;
  second.transposition_semitones = 2;
  second.drift_cents_per_minute = -12.4;
  second.drift_ci95 = {{-16.5, -8.3}};
  second.drift_significant = true;
  result.key_segments.push_back(second);
  const std::string text = plain(result);
  const std::string line = on_one_line(text);
  CHECK(has(line, "wrong note. Average error of the rest 43 cents You went up a tone at bar 2. Recurring problems"));
  CHECK(has(line,
            "Key from bar 1 D major, as written; from bar 2 E major, a tone higher Pitch drift from bar 1 too short to "
            "tell; from bar 2 dropped 0 cents from start to end"));
}

TEST_CASE("a drift stands in the headline when it is larger than the tolerance, steps by phrases as that") {
  Result result = example::measured();
  KeySegment& first = result.key_segments[0];
  first.drift_cents_per_minute = -300;
  first.drift_significant = true;
  const std::string sank = on_one_line(plain(result));
  CHECK(has(sank, "Your pitch sank 36 cents from start to end. Recurring problems"));
  result.settings.tolerance_cents = Cents(40);
  CHECK_FALSE(has(plain(result), "Your pitch sank"));
  first.drift_cents_per_minute.reset();
  first.drift_significant = false;
  for (NoteResult& note : result.notes)
    if (note.index) note.phrase = 1 + *note.index / 2;
  const KeySegment steady = first;  // `first` is gone once the list grows
  for (const int semitones : {-1, -2}) {
    result.key_segments.push_back(steady);
    result.key_segments.back().from_index = 1 - 2 * semitones;
    result.key_segments.back().transposition_semitones += semitones;
  }
  CHECK(has(on_one_line(plain(result)), "You went down a semitone"));
}
