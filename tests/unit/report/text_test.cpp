#include <doctest/doctest.h>

#include <sstream>

#include "base/base.hpp"
#include "example.hpp"
#include "firmus/report.hpp"

using namespace firmus;

namespace {

bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}
std::string plain(const Result& result) {
  return as_text(result, Colour::never, "firmus check NEXT");
}

/// The text with single spaces for line breaks and indents.
std::string on_one_line(const std::string& text) {
  std::string line;
  for (const char c : text)
    if ((c != ' ' && c != '\n') || !line.ends_with(' ')) line += c == '\n' ? ' ' : c;
  return line;
}

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
Tries       2; the one from 0:01.1 to 0:09.5 is measured. Also heard: 0:00.2
            to 0:01.0, up to bar 1 beat 2.

3 of 6 notes in tune, within 25 cents of your own pitch
1 flat, 1 sharp, 1 another note; the rest 43 cents off on average

What keeps coming, more than chance explains
  flat on rising major sixths: 27 cents, 3 of 3 times (bars 2, 3). It cannot
    be told apart from the 6th degree: the same notes. It could as well be the
    high notes.

The 3 notes furthest off, and when to listen
  bar 3 beat 2  F#4  way   183 cents flat (E4)  at 0:08.2
  bar 2 beat 1  B4   tern  38 cents flat        at 0:04.1
  bar 1 beat 3  A4   lan-  31 cents sharp       at 0:03.1

Centre      A4 = 437.6 Hz, 9 cents below 440 Hz
Key         sung in D major, an octave down
Drift       too short to tell
Longest     2 notes in tune in a row, bar 1 beat 1 to bar 1 beat 2, from
            0:01.1
Not judged  2 of 8 written notes: 1 missing (bar 2 beat 2) and 1 too short to
            tell (bar 3 beat 1). Not counted: 1 extra note and 1 note sung
            again.
Recording   good enough to trust 6 of 7 notes, to within 5 cents
Care        This measures the distance from one tuning; style, blue notes,
            leading tones and vibrato are the teacher's to judge.

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
  CHECK(text.find("Doubt       This may not be the melody: about 44 % of its steps, from note to") <
        text.find("notes in tune"));
  CHECK(has(text, "No mark yet, it needs a listen: this may not be the melody."));
}

TEST_CASE("another pace is said when it is another by a third or more") {
  Result result = example::measured();
  result.melody->tempo = "96";
  CHECK(!has(plain(result), "Pace"));
  result.tempo_bpm = 48;
  CHECK(has(plain(result), "Pace        48 beats a minute, 2.0 times slower than written (96)\n"));
  result.melody->tempo = "3 = 60";  // in units that are not the beat
  CHECK(!has(plain(result), "Pace"));
}

TEST_CASE("a take of another melody shows no score") {
  Result result = example::measured();
  result.decision = AlignmentDecision::not_this_melody;
  const std::string text = plain(result);
  CHECK(has(text, "This is not the melody, as far as can be heard"));
  CHECK(has(text, "Not marked: not this melody\n"));
  CHECK_FALSE(has(text, "in tune"));
  CHECK_FALSE(has(text, "furthest"));
}

TEST_CASE("a take of which less than 60 % could be judged needs a listen") {
  Result result = example::measured();
  result.summary.judged_share = 0.59;
  CHECK(has(plain(result), "No mark yet, it needs a listen: only 6 of 8 written notes could be judged."));
  result.summary.judged_share = 0.6;
  CHECK_FALSE(has(plain(result), "No mark yet"));
}

TEST_CASE("a take in which nothing could be judged says so") {
  Result result = example::measured();
  result.summary = Summary{};
  result.summary.written = 8;
  CHECK(has(plain(result), "Not marked: no note could be judged; it needs a listen"));
}

TEST_CASE("without a melody the notes heard are named and none is marked") {
  Result result = example::measured();
  result.melody.reset();
  result.attempts.clear();
  const std::string text = plain(result);
  CHECK(has(text, "Melody      none given: the nearest notes, tuning equal\n"));
  CHECK(has(text, "9 notes found. To have them judged, name the melody or the key.\n"));
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
  CHECK(has(text, "The note furthest off, and when to listen\n"));
  CHECK(has(text, "Not judged  nothing: every written note was judged."));
}

TEST_CASE("when every judged note is in tune the furthest is still named") {
  Result result = example::measured();
  result.notes = {example::sung_note(0, 1, -18.4, Verdict::in_tune), example::sung_note(1, 2, 3, Verdict::in_tune)};
  CHECK(has(plain(result), "The note furthest off, bar 1 beat 1, is 18 cents flat.\n"));
}

TEST_CASE("a drift that is clear is told by what it comes to, any other as not clear") {
  Result result = example::measured();
  KeySegment& key_segment = result.key_segments[0];
  key_segment.drift_cents_per_minute = -300;
  key_segment.drift_ci95 = {{-400, -200}};
  key_segment.drift_significant = true;
  // From the onset at 1.1 s to the last at 8.2 s: 7.1 s, 35.5 cents.
  CHECK(has(plain(result),
            "Drift       sinking 36 cents on the way (-300 cents a minute, between -400 and\n            -200)\n"));
  key_segment.drift_significant = false;
  CHECK(has(plain(result), "Drift       none that is clear (-300 cents a minute, between -400 and -200)\n"));
}

TEST_CASE("three habits are told, the rest are counted") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.aliases.clear();
  row.confounders.clear();
  for (const char* name : {"low", "middle", "high"}) {
    result.habits.push_back(result.habits[0]);
    result.habits.back().group = "register";
    result.habits.back().name = name;
    result.habits.back().mean_cents = 12.4;
  }
  const std::string text = plain(result);
  CHECK(has(text, "  flat on rising major sixths: 27 cents, 3 of 3 times (bars 2, 3)\n"));
  CHECK(has(text, "  sharp on the low notes: 12 cents, 3 of 3 times (bars 2, 3)\n"));
  CHECK_FALSE(has(text, "the high notes"));
  CHECK(has(text, "  and 1 more\n"));
  CHECK_FALSE(has(text, "No habit shows"));
}

TEST_CASE("notes that are all in tune are told last, and not as a fault") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.decision = HabitDecision::within_tolerance;
  row.mean_cents = -14;
  const std::string text = on_one_line(plain(result));
  CHECK(has(text, "No habit shows."));
  CHECK(has(text, "In tune, but all a little low: rising major sixths, 14 cents, 3 of 3 times (bars 2, 3)."));
  CHECK_FALSE(has(text, "flat on"));
}

TEST_CASE("a note sung as another is told by its name, not in cents") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row = HabitRow{};
  row.decision = HabitDecision::chronic;
  row.group = "substitution";
  row.name = "C#5>C5";
  row.count = 6;
  row.same_way = 5;
  row.mean_cents = -98;
  row.indices = {3, 5, 6};
  CHECK(has(plain(result), "  C instead of C sharp, 5 of 6 times (bars 2, 3)\n"));
  row.name = "A4>A3";
  CHECK(has(plain(result), "  A3 instead of A4, 5 of 6 times"));
  row.name = "Ebb4>F#4";
  CHECK(has(plain(result), "  F sharp instead of E double flat, "));
  row.name = "unheard of";
  CHECK(has(plain(result), "  unheard of, "));
}

TEST_CASE("what leans says how many more would settle it") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.decision = HabitDecision::leaning;
  row.required_more = 5;
  row.aliases.clear();
  row.confounders.clear();
  CHECK(
      has(on_one_line(plain(result)),
          "What leans, but is not sure yet (check by ear) flat on rising major sixths: 27 cents, 3 of 3 times (bars 2, "
          "3). It may be chance, or 21 to 34 cents. If it is as big as it looks, 5 more (2 recordings like this) "
          "would tell "));
  const std::string text = plain(result);
  CHECK(has(text, "No habit shows. One of 14 cents or more on rising major sixths (3 of them)\nwould have."));
}

TEST_CASE("an interval too rare to tell is named with its count when it was far off") {
  Result result = example::measured();
  HabitRow& row = result.habits[0];
  row.decision.reset();
  row.p.reset();
  row.minimum_detectable_cents.reset();
  row.count = row.same_way = 2;
  CHECK(has(on_one_line(plain(result)),
            "No habit shows. There are too few notes in this take to tell a habit. Too rare to tell: rising major "
            "sixths, 27 cents flat on average, but only 2 of these. "));
  row.mean_cents = -24;
  CHECK_FALSE(has(plain(result), "Too rare"));
}

TEST_CASE("the interval out of a habit's notes is told with it, as one fault") {
  Result result = example::measured();
  const auto into = [](int index, double cents, const char* name) {
    NoteResult note = example::sung_note(index, index, 0, Verdict::in_tune);
    note.interval_name = name;
    note.interval_direction = Direction::down;
    note.errors.interval_cents = cents;
    return note;
  };
  result.notes.clear();
  for (int index = 0; index < 8; ++index)
    result.notes.push_back(index % 2 == 0 ? into(index, -30, "M6") : into(index, index == 7 ? 19 : 25, "M2"));
  result.habits[0].indices = {0, 2, 4, 6};
  result.habits[0].aliases.clear();
  result.habits[0].confounders.clear();
  // 25, 25, 25 and 19: 23.5.
  CHECK(
      has(on_one_line(plain(result)),
          "(bars 1, 2, 3). The interval on from there is then 24 cents sharp (falling major seconds, mostly): the same "
          "fault, not another. "));
  for (NoteResult& note : result.notes) note.errors.interval_cents = -30;  // the same way: another matter
  CHECK_FALSE(has(plain(result), "on from there"));
}

TEST_CASE("the other half of the notes may be what is off, the other way") {
  Result result = example::measured();
  result.habits[0].aliases = {"all but approach step"};
  result.habits[0].confounders = {"line falling", "all but register low"};
  CHECK(has(plain(result),
            "It cannot\n    be told apart from notes reached by step being sharp: the same notes. It\n"
            "    could as well be notes reached from above or the low notes being sharp.\n"));
}

TEST_CASE("missing notes one after another are one place; many places are only counted") {
  Result result = example::measured();
  for (NoteResult& note : result.notes) {
    if (!note.index || *note.index == 0) continue;
    note.verdict.reset();
    note.unclear_reason.reset();
    note.status = NoteStatus::missing;
  }
  CHECK(has(plain(result), "7 missing (bar 1 beat 2 to bar 3 beat 2)."));
  for (NoteResult& note : result.notes)
    if (note.index && *note.index % 2 == 0) note.verdict = Verdict::in_tune;
  CHECK(has(plain(result), "4 missing."));
}

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
  CHECK(has(line, "another note; the rest 43 cents off on average You went up a tone at bar 2. What keeps coming"));
  CHECK(has(line,
            "Key changes on the way: from bar 1 in D major, as written; from bar 2 in E major, a tone higher. "
            "Drift from bar 1 too short to tell; from bar 2 sinking 0 cents on the way (-12 cents a minute, between "
            "-16 and -8)"));
}

TEST_CASE("a drift stands in the headline when it is larger than the tolerance, steps by phrases as that") {
  Result result = example::measured();
  KeySegment& first = result.key_segments[0];
  first.drift_cents_per_minute = -300;
  first.drift_significant = true;
  const std::string sank = on_one_line(plain(result));
  CHECK(has(sank, "Your pitch sank 36 cents from start to end. What keeps coming"));
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

TEST_CASE("each reference is named in the headline and chooses the errors shown") {
  Result result = example::measured();
  result.settings.reference = Reference::concert;
  result.settings.a4_hz = Hertz(442);
  result.settings.tolerance_cents = Cents(12.5);
  CHECK(has(plain(result), "within 12.5 cents of concert pitch (A4 = 442 Hz)\n"));
  CHECK(has(plain(result), "48 cents flat"));
  result.settings.reference = Reference::interval;
  CHECK(has(plain(result), "within 25 cents of the interval from the note before\n") == false);
  CHECK(has(plain(result), "within 12.5 cents of the interval from the note before\n"));
  CHECK(has(plain(result), "41 cents flat"));
}

TEST_CASE("a section sung twice is told with its pass, a melody without bars by the note") {
  Result result = example::measured();
  result.notes[4].section = std::string("B");
  result.notes[4].pass = 2;
  CHECK(has(plain(result), "  B (2) bar 2 beat 1  B4"));
  result.notes[4].bar = 0;
  CHECK(has(plain(result), "  B (2) upbeat beat 1 "));
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
