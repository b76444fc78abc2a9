#include <doctest/doctest.h>

#include <sstream>

#include "base/base.hpp"
#include "example.hpp"
#include "firmus/report.hpp"
#include "summary_text.hpp"

using namespace firmus;
using namespace firmus::example;

namespace {

std::string without_colour(const std::string& text) {
  std::string rest;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '\x1b') {
      i = text.find('m', i);
    } else {
      rest += text[i];
    }
  }
  return rest;
}

}  // namespace

TEST_CASE("the summary of a take reads so, line by line") {
  CHECK(plain(example::measured()) ==
        R"(Take        ana.flac, 0:10
Melody      Lantern Walk, D major, 8 notes
Tries       2 in this recording. Judged: 0:01.1 to 0:09.5. Left out: 0:00.2 to
            0:01.0, up to bar 1 beat 2.

3 of 6 notes in tune (within 25 cents of the pitch you settled on)
1 flat, 1 sharp, 1 wrong note. Average error of the rest 43 cents

Recurring problems
  Rising major sixths are 27 cents flat (all 3: bars 2, 3). Also described
    as the 6th of the scale: the same notes. Could also be high notes: this
    recording cannot tell which.

The 3 notes most out of tune, and when to listen
  bar 3 beat 2  F#4  way   E4 instead      at 0:08.2
  bar 2 beat 1  B4   tern  38 cents flat   at 0:04.1
  bar 1 beat 3  A4   lan-  31 cents sharp  at 0:03.1

Your A      438 Hz (9 cents under 440)
Key         D major, an octave down
Pitch drift too short to tell
Longest run 2 notes in tune (bar 1), from 0:01.1
Not judged  2 of 8 notes: 1 not heard (bar 2 beat 2) and 1 too short to tell
            (bar 3 beat 1). Left out: 1 extra note and 1 note of earlier
            tries.
Recording   6 of 7 notes are clear enough: measured to within 5 cents
Care        firmus compares with one tuning; style, blue notes, leading notes
            and vibrato are for the teacher to judge.

Next        firmus check NEXT
)");
}

TEST_CASE("colour repeats what the words say and adds none") {
  const Result result = example::measured();
  const std::string coloured = as_text(result, Colour::ansi, "firmus check NEXT");
  CHECK(without_colour(coloured) == plain(result));
  CHECK(has(coloured, "\x1b[38;5;33m1 flat\x1b[0m, \x1b[38;5;208m1 sharp\x1b[0m"));
  CHECK(has(coloured, "\x1b[38;5;245m3 of 6 notes in tune\x1b[0m"));
}

TEST_CASE("no line but the command is wider than 78 columns, whatever the names") {
  Result result = example::measured();
  result.take.name = std::string(200, 'n') + ".wav";
  result.melody->title = "A title that goes on and on, ";
  result.melody->title.append(90, 'o');
  result.notes[4].word = "Donaudampfschifffahrt\xc3\xa4\xc3\xa4";
  result.notes[4].section = "Refrain";
  result.signal_quality.warnings = {{RecordingFault::hum, "A hum at 50 Hz stands 31 dB under the voice.",
                                     "Move away from the mains adapter and record a bar of silence to compare."}};
  std::istringstream lines(plain(result));
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(code_points(line) <= 78);
  }
  CHECK(has(plain(result), "Donaudamp..."));
  result.notes[4].section = "The refrain that everybody knows";
  result.notes[4].pass = 2;
  result.notes[4].bar = 1000;
  result.notes[4].beat = 3.75;
  result.notes[4].errors.own_cents = -1200;
  result.notes[4].verdict = Verdict::other_note;
  CHECK(has(plain(result), "an octave lower (B3)"));
  result.notes[4].onset_s = 3599;
  std::istringstream more(plain(result));
  for (std::string line; std::getline(more, line);) CHECK(code_points(line) <= 78);
}

TEST_CASE("a take that may not be the melody says so before any figure and is not marked") {
  Result result = example::measured();
  result.decision = AlignmentDecision::listen;
  result.alignment_confidence = 0.44;
  const std::string text = plain(result);
  CHECK(text.find("Doubt       This may not be \"Lantern Walk\" (44 % of the intervals match).") <
        text.find("notes in tune"));
  CHECK(has(text, "No mark yet. Please listen: this may be another piece."));
}

TEST_CASE("another pace is said when it is another by a third or more") {
  Result result = example::measured();
  result.melody->tempo = "96";
  CHECK(!has(plain(result), "Pace"));
  result.tempo_bpm = 48;
  CHECK(has(plain(result), "Tempo       48 beats a minute, 2.0 times slower than written (96)\n"));
  result.melody->tempo = "3 = 60";  // in units that are not the beat
  CHECK(!has(plain(result), "Pace"));
}

TEST_CASE("a take of another melody shows no score") {
  Result result = example::measured();
  result.decision = AlignmentDecision::not_this_melody;
  const std::string text = plain(result);
  CHECK(has(text, "This does not sound like \"Lantern Walk\""));
  CHECK(has(text, "No mark: this seems to be another piece\n"));
  CHECK_FALSE(has(text, "in tune"));
  CHECK_FALSE(has(text, "furthest"));
}

TEST_CASE("a take of which less than 60 % could be judged needs a listen") {
  Result result = example::measured();
  result.summary.judged_share = 0.59;
  CHECK(has(plain(result), "No mark yet. Please listen: only 6 of 8 written notes could be judged."));
  result.summary.judged_share = 0.6;
  CHECK_FALSE(has(plain(result), "No mark yet"));
}

TEST_CASE("a take in which nothing could be judged says so") {
  Result result = example::measured();
  result.summary = Summary{};
  result.summary.written = 8;
  CHECK(has(plain(result), "No mark: no note could be judged. Please listen to it."));
}

TEST_CASE("without a melody the notes heard are named and none is marked") {
  Result result = example::measured();
  result.melody.reset();
  result.attempts.clear();
  const std::string text = plain(result);
  CHECK(has(text, "Melody      none given: nearest notes in equal temperament\n"));
  CHECK(has(text, "9 notes found. Give --melody or --key to have them checked.\n"));
  CHECK(has(text, "Notes found A3 D4 F#4 A4 B4 A3 A4 G4 F#4\n"));
  CHECK_FALSE(has(text, "in tune"));
}

TEST_CASE("one note is one note") {
  Result result = example::measured();
  result.notes = {example::sung_note(0, 1, -26, Verdict::flat)};
  result.summary = Summary{};
  result.summary.written = result.summary.judged = result.summary.flat = 1;
  result.summary.judged_share = 1;
  result.melody->written_notes = 1;
  const std::string text = plain(result);
  CHECK(has(text, "0 of 1 note in tune"));
  CHECK(has(text, "D major, 1 note\n"));
  CHECK(has(text, "The note most out of tune, and when to listen\n"));
  CHECK(has(text, "Not judged  nothing, every note could be judged."));
}

TEST_CASE("when every judged note is in tune the furthest is still named") {
  Result result = example::measured();
  result.notes = {example::sung_note(0, 1, -18.4, Verdict::in_tune), example::sung_note(1, 2, 3, Verdict::in_tune)};
  CHECK(has(plain(result), "Furthest out: bar 1 beat 1, 18 cents flat.\n"));
}

TEST_CASE("a drift that is clear is told by what it comes to, any other as not clear") {
  Result result = example::measured();
  KeySegment& key_segment = result.key_segments[0];
  key_segment.drift_cents_per_minute = -300;
  key_segment.drift_ci95 = {{-400, -200}};
  key_segment.drift_significant = true;
  // From the onset at 1.1 s to the last at 8.2 s: 7.1 s, 35.5 cents.
  CHECK(has(plain(result), "Pitch drift dropped 36 cents from start to end\n"));
  key_segment.drift_significant = false;
  CHECK(has(plain(result), "Pitch drift none measurable\n"));
}

TEST_CASE("missing notes one after another are one place; many places are only counted") {
  Result result = example::measured();
  for (NoteResult& note : result.notes) {
    if (!note.index || *note.index == 0) continue;
    note.verdict.reset();
    note.unclear_reason.reset();
    note.status = NoteStatus::missing;
  }
  CHECK(has(plain(result), "7 not heard (bar 1 beat 2 to bar 3 beat 2)."));
  for (NoteResult& note : result.notes)
    if (note.index && *note.index % 2 == 0) note.verdict = Verdict::in_tune;
  CHECK(has(plain(result), "4 not heard."));
}

TEST_CASE("each reference is named in the headline and chooses the errors shown") {
  Result result = example::measured();
  result.settings.reference = Reference::concert;
  result.settings.a4_hz = Hertz(442);
  result.settings.tolerance_cents = Cents(12.5);
  CHECK(has(plain(result), "(within 12.5 cents of concert pitch, A = 442)\n"));
  CHECK(has(plain(result), "48 cents flat"));
  result.settings.reference = Reference::interval;
  CHECK(has(plain(result), "within 25 cents of the interval from the note before\n") == false);
  CHECK(has(plain(result), "(within 12.5 cents of the written interval)\n"));
  CHECK(has(plain(result), "41 cents flat"));
}

TEST_CASE("a section sung twice is told with its pass, a melody without bars by the note") {
  Result result = example::measured();
  result.notes[4].section = std::string("B");
  result.notes[4].pass = 2;
  CHECK(has(plain(result), "  B bar 2 beat 1, 2nd time  B4"));
  result.notes[4].bar = 0;
  CHECK(has(plain(result), "  B pick-up beat 1, 2nd time "));
  result.notes[4].bar.reset();
  CHECK(has(plain(result), "  note 4 "));
}

TEST_CASE("a take that was not measured says why and what helps") {
  CHECK(as_text(example::not_measured(), Colour::never, "") ==
        "Take        gone.wav\n\nNot measured: there is no such file\nWhat helps: check the name\n");
}

TEST_CASE("names cannot steer the terminal") {
  Result result = example::measured();
  result.take.name = "a\x1b[31m\nb.wav";
  result.notes[4].word = "\x1b[0m";
  CHECK_FALSE(has(plain(result), "\x1b"));
  CHECK(has(plain(result), "a\\x1B[31m\\x0Ab.wav"));
}
