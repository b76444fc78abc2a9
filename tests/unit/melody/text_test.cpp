#include "reading.hpp"

using namespace firmus;

namespace {

constexpr std::string_view lantern_walk =
    "title:  Lantern Walk\n"
    "key:    D major\n"
    "meter:  3/4\n"
    "tempo:  96            # beats a minute, a hint; takes may go at any pace\n"
    "\n"
    "D4 F#4 A4 | B4:2 A4 , | G4:1.5 F#4:1/2 E4 | D4:3 | hold:2 rest\n"
    "words: Light the lan- tern, walk the long way home\n";

}  // namespace

TEST_CASE("the format's own example reads as it is meant") {
  const Melody melody = read(lantern_walk);
  CHECK(melody.title == "Lantern Walk");
  CHECK(melody.key == Key{'D', 0, Mode::major});
  CHECK(melody.meter == Meter{3, 4});
  CHECK(melody.tempo_text == "96");
  CHECK(melody.a4_hz == 440.0);
  CHECK(timeline(melody) == "D4@0+1 F#4@1+1 A4@2+1 B4@3+2 A4@5+1 G4@6+3/2 F#4@15/2+1/2 E4@8+1 D4@9+5");
  CHECK(places(melody) == "1.1 1.2 1.3 2.1 2.3 3.1 3.5/2 3.3 4.1");
  CHECK(words(melody) == "Light the lan- tern, walk the long way home");
  CHECK(melody.notes[4].phrase == 1);
  CHECK(melody.notes[5].phrase == 2);
  CHECK(melody.notes[8].beats == Fraction(5));
  CHECK(melody.notes[0].quarters_per_minute == 96.0);
  CHECK(melody.notes[5].line == 6);
  CHECK(melody.notes[5].column == 25);
  CHECK(melody.warnings.empty());
  CHECK(melody.text == lantern_walk);
  CHECK(melody.sha256.size() == 64);
}

TEST_CASE("LF, CRLF and CR end lines, a byte order mark is no column, case does not matter") {
  const std::string lf = "Key: d Major\nMETER: 2/4\nd4 F#4 | REST Hold4\n";
  CHECK(only_error(lf) ==
        "song.melody:3:15: \"Hold4\" is not a note; write a letter A to G, # or b, and an octave: F#4");
  const std::string good = "Key: d Major\nMETER: 2/4\nd4 F#4 | REST A4\n";
  const auto expected = facts(read(good));
  CHECK(expected.size() == 3);
  for (const std::string end : {"\r\n", "\r"}) {
    std::string text;
    for (const char c : good) text += c == '\n' ? end : std::string(1, c);
    CHECK(facts(read(text)) == expected);
    CHECK(facts(read("\xEF\xBB\xBF" + text)) == expected);
    CHECK(read("\xEF\xBB\xBF" + text).notes[2].line == 3);
  }
  CHECK(read("\xEF\xBB\xBF"
             "C4 D4")
            .notes[1]
            .column == 4);
}

TEST_CASE("bar lines and breaths may touch a token, and double bar lines are one") {
  const Melody melody = read("meter: 2/4\n|C4 D4|E4:2,||F4,G4|");
  CHECK(timeline(melody) == "C4@0+1 D4@1+1 E4@2+2 F4@4+1 G4@5+1");
  CHECK(places(melody) == "1.1 1.2 2.1 3.1 3.2");
  CHECK(melody.notes[2].phrase == 1);
  CHECK(melody.notes[3].phrase == 2);
  CHECK(melody.notes[4].phrase == 3);
}

TEST_CASE("a comment starts a line, or has white space on both sides; a sharp has not") {
  CHECK(timeline(read("# a comment F#4\n  # another\nF#4 # D4 E4\nG4 #\nA4")) == "F#4@0+1 G4@1+1 A4@2+1");
  CHECK(read("title: Etude #3\nC4").title == "Etude #3");
  CHECK(read("title: Etude # 3\nC4").title == "Etude");
}

TEST_CASE("a header needs white space behind its colon, so that a4:440 is a note") {
  CHECK(read("a4: 442.5\nC4").a4_hz == 442.5);
  const Melody note = read("a4:440");
  CHECK(note.notes[0].pitch == SpelledPitch{'A', 0, 4, 0});
  CHECK(note.notes[0].beats == Fraction(440));
  CHECK(read("title:\nC4").title.empty());
}

TEST_CASE("lengths are exact in the meter's beat unit") {
  const Melody melody = read("meter: 6/8\nC4:1/3 D4:1/3 E4:1/3 F4:0.5 G4:1.5 A4:3");
  CHECK(timeline(melody) == "C4@0+1/6 D4@1/6+1/6 E4@1/3+1/6 F4@1/2+1/4 G4@3/4+3/4 A4@3/2+3/2");
  CHECK(melody.notes[5].beats == Fraction(3));
  CHECK(timeline(read("C4:1.250 D4")) == "C4@0+5/4 D4@5/4+1");
}

TEST_CASE("grace notes last no time; marks and deviations are kept") {
  const Melody melody = read("C4:0 D4:2:maybe E4+50:1:free F4-12.5:1/2");
  CHECK(melody.notes[0].grace);
  CHECK(melody.notes[0].length_quarters == Fraction(0));
  CHECK(melody.notes[1].onset_quarters == Fraction(0));
  CHECK_FALSE(melody.notes[1].grace);
  CHECK(melody.notes[1].mark == NoteMark::maybe);
  CHECK(melody.notes[2].mark == NoteMark::free);
  CHECK(melody.notes[2].pitch.deviation_cents == 50.0);
  CHECK(melody.notes[3].pitch.deviation_cents == -12.5);
  CHECK(cents_between(read("E4").notes[0].target_hz, melody.notes[2].target_hz) == doctest::Approx(50.0));
}

TEST_CASE("a hold lengthens the note before, across bars and into a section") {
  CHECK(timeline(read("meter: 2/4\nC4:2 | hold hold:1/2 D4:1/2")) == "C4@0+7/2 D4@7/2+1/2");
  CHECK(timeline(read("section: A\nC4:2\nsection: B\nhold D4")) == "C4@0+3 D4@3+1");
  CHECK(read("meter: 6/8\nC4:3 hold:2").notes[0].beats == Fraction(5));
  // Under another meter a hold counts in its own unit, and so do the note's beats.
  const Melody melody = read("meter: 1/4\nC4 |\nmeter: 2/8\nhold:2 | D4:2");
  CHECK(timeline(melody) == "C4@0+2 D4@2+1");
  CHECK(melody.notes[0].beats == Fraction(3));
  CHECK(melody.notes[1].beats == Fraction(2));
}

TEST_CASE("rests count from the first token on, also before the first note") {
  CHECK(timeline(read("rest:2 C4 rest:1/2 D4 rest")) == "C4@2+1 D4@7/2+1");
}

TEST_CASE("key, meter and tempo hold from where they stand") {
  const Melody melody =
      read("key: G major\nmeter: 2/4\ntempo: 100\nG4 A4 |\nkey: E minor\nmeter: 3/8\nB4 A4 G4 |\ntempo: 3 = 60\nE4:3");
  CHECK(melody.key == Key{'G', 0, Mode::major});
  CHECK(melody.meter == Meter{2, 4});
  CHECK(melody.tempo_text == "100");
  CHECK(melody.notes[1].key == Key{'G', 0, Mode::major});
  CHECK(melody.notes[2].key == Key{'E', 0, Mode::minor});
  CHECK(timeline(melody) == "G4@0+1 A4@1+1 B4@2+1/2 A4@5/2+1/2 G4@3+1/2 E4@7/2+3/2");
  CHECK(melody.notes[2].quarters_per_minute == 100.0);  // a new meter alone does not change the speed
  CHECK(melody.notes[5].quarters_per_minute == 90.0);   // three eighths a second are 180 eighths, 90 quarters a minute
  CHECK(melody.warnings.empty());
}

TEST_CASE("a tempo before its meter counts in the meter's unit") {
  CHECK(read("tempo: 120\nmeter: 6/8\nC4:6").notes[0].quarters_per_minute == 60.0);
  CHECK(read("tempo: 1.5 = 80\nC4").notes[0].quarters_per_minute == 120.0);
  CHECK_FALSE(read("C4").notes[0].quarters_per_minute.has_value());
}

TEST_CASE("concert pitch, tuning and transposition reach the notes") {
  CHECK(read("a4: 442\nA4").notes[0].target_hz == 442.0);
  CHECK(read("sounds: -12\nA4").notes[0].target_hz == doctest::Approx(220.0));
  CHECK(read("sounds: +2\nG4").notes[0].target_hz == doctest::Approx(440.0));
  // Just major third above an equal-tempered D: 386.314 cents (5-limit tables).
  const Melody just = read("tuning: just\nkey: D major\nD4 F#4");
  CHECK(cents_between(just.notes[0].target_hz, just.notes[1].target_hz) == doctest::Approx(386.314).epsilon(1e-6));
  CHECK(just.notes[0].target_hz == doctest::Approx(293.6648).epsilon(1e-6));
  const Melody offsets = read("tuning: 0 0 0 0 0 0 0 0 0 12 0 0\nA4");
  CHECK(cents_between(Hertz(440), offsets.notes[0].target_hz) == doctest::Approx(12.0));
  CHECK(read("reference: concert\nC4").reference == Reference::concert);
  CHECK_FALSE(read("C4").reference.has_value());
}

TEST_CASE("retuning makes the frequencies anew and changes nothing else") {
  const Melody melody = read("key: C major\nC4 E4 A4");
  const Melody again = with_tuning(melody, Hertz(415), parse_tuning("meantone", Key{}));
  CHECK(again.notes[2].target_hz == 415.0);
  CHECK(cents_between(again.notes[0].target_hz, again.notes[1].target_hz) == doctest::Approx(386.314).epsilon(1e-6));
  CHECK(timeline(again) == timeline(melody));
  CHECK(with_tuning(melody, std::nullopt, std::nullopt).notes[0].target_hz == melody.notes[0].target_hz);
}

TEST_CASE("the interval into a note is from the note before by index") {
  const Melody melody = read("C4 rest A4 F4");
  CHECK_FALSE(interval_into(melody, 0).has_value());
  CHECK(interval_name(*interval_into(melody, 1)) == "M6");
  CHECK(interval_into(melody, 1)->direction == Direction::up);
  CHECK(interval_name(*interval_into(melody, 2)) == "M3");
  CHECK(interval_into(melody, 2)->direction == Direction::down);
  CHECK_FALSE(interval_into(melody, 3).has_value());
  CHECK_FALSE(interval_into(melody, -1).has_value());
}
