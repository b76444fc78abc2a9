// What ABC means, by its standard (The ABC Music standard 2.1, 2011; sections in brackets).
#include "xml_score.hpp"

using namespace firmus;

namespace {

/// A tune in C, unit note a quarter, in the meter.
std::string tune(const std::string& music, const std::string& meter = "4/4", const std::string& key = "C") {
  return "X:1\nT:Song\nM:" + meter + "\nL:1/4\nK:" + key + "\n" + music + "\n";
}
std::string line_of(const std::string& music, const std::string& meter = "4/4", const std::string& key = "C") {
  return timeline(read_line(tune(music, meter, key)));
}

}  // namespace

TEST_CASE("pitches: C is middle C, commas and apostrophes are octaves (4.1), accidentals hold for the bar (4.2)") {
  CHECK(line_of("C, C c c' |") == "C3@0+1 C4@1+1 C5@2+1 C6@3+1");
  CHECK(line_of("^F F f _B | F B =B ^^c |") == "F#4@0+1 F#4@1+1 F#5@2+1 Bb4@3+1 F4@4+1 B4@5+1 B4@6+1 C##5@7+1");
  CHECK(line_of("^/F _/B C2 |") == "F4+50@0+1 B4-50@1+1 C4@2+2");
}

TEST_CASE("keys and modes, with accidentals of their own (3.1.14)") {
  CHECK(line_of("F C B, E |", "4/4", "D") == "F#4@0+1 C#4@1+1 B3@2+1 E4@3+1");
  CHECK(line_of("F C B, E |", "4/4", "Ddor") == "F4@0+1 C4@1+1 B3@2+1 E4@3+1");
  CHECK(line_of("F C B, E |", "4/4", "Gm") == "F4@0+1 C4@1+1 Bb3@2+1 Eb4@3+1");
  CHECK(line_of("F C B, G |", "4/4", "D Phr ^f") == "F#4@0+1 C4@1+1 Bb3@2+1 G4@3+1");
  CHECK(line_of("F C G E |", "4/4", "D exp ^g") == "F4@0+1 C4@1+1 G#4@2+1 E4@3+1");
  CHECK(line_of("F C G E |", "4/4", "HP") == "F#4@0+1 C#4@1+1 G4@2+1 E4@3+1");
  CHECK(key_name(*read_line(tune("A2", "2/4", "F#m")).key) == "F# minor");
  CHECK(line_of("F2 | [K:Bb] B2 |", "2/4", "D") == "F#4@0+2 Bb4@2+2");
}

TEST_CASE("lengths: multiples, fractions, broken rhythms (4.3, 4.4), tuplets (4.13)") {
  CHECK(line_of("C2 D/2 E/ F// G3/4 |") == "C4@0+2 D4@2+1/2 E4@5/2+1/2 F4@3+1/4 G4@13/4+3/4");
  CHECK(line_of("C>D E<F |") == "C4@0+3/2 D4@3/2+1/2 E4@2+1/2 F4@5/2+3/2");
  CHECK(line_of("C>>D E2 |") == "C4@0+7/4 D4@7/4+1/4 E4@2+2");
  CHECK(line_of("(3CDE F2 |") == "C4@0+2/3 D4@2/3+2/3 E4@4/3+2/3 F4@2+2");
  CHECK(line_of("(3:2:2 C2D F2 |") == "C4@0+4/3 D4@4/3+2/3 F4@2+2");
  CHECK(line_of("(2CD E |", "3/4") == "C4@0+3/2 D4@3/2+3/2 E4@3+1");
  // Without L: a sixteenth in meters below 3/4, else an eighth (3.1.7).
  CHECK(timeline(read_line("X:1\nM:2/4\nK:C\nC4 D4\n")) == "C4@0+1 D4@1+1");
  CHECK(timeline(read_line("X:1\nM:3/4\nK:C\nC2 D4\n")) == "C4@0+1 D4@1+2");
}

TEST_CASE("rests of one bar and many (4.5), chords (4.17), graces (4.12), other voices of a bar (7.4)") {
  const Melody melody = read_line(tune("C z x2 | Z2 | {DE}F2 [CEG]2 | G4 & C2 D2 |"));
  CHECK(timeline(melody) == "C4@0+1 D4@12+0 E4@12+0 F4@12+2 G4@14+2 G4@16+4");
  CHECK(places(melody) == "1.1 4.1 4.1 4.1 4.3 5.1");
  CHECK(remarks(melody) == std::vector<std::string>{"song: of chords, the top note is taken",
                                                    "song: voices written over others (&) are left out"});
}

TEST_CASE("ties, also over the bar with the accidental (4.11)") {
  CHECK(line_of("C2 ^F2-|F2 F2|") == "C4@0+2 F#4@2+4 F4@6+2");
  CHECK(line_of("C2-D2|") == "C4@0+2 D4@2+2");
}

TEST_CASE("repeats and endings (4.8, 4.9)") {
  CHECK(bars(read_line(tune("C4 | D4 :| E4 |"))) == "1 2 1 2 3");
  CHECK(bars(read_line(tune("|: C4 |1 D4 :|2 E4 || F4 |]"))) == "1 2 1 3 4");
  CHECK(bars(read_line(tune("|: C4 | [1 D4 :| [2 E4 |]"))) == "1 2 1 3");
  CHECK(bars(read_line(tune("|: C4 |1,3 D4 :|2 E4 :|4 F4 |]"))) == "1 2 1 3 1 2 1 4");
  CHECK(bars(read_line(tune("|: C4 :: D4 :|"))) == "1 1 2 2");
  CHECK(bars(read_line(tune("|:: C4 ::| D4 |"))) == "1 1 1 2");
}

TEST_CASE("a bar that a repeat sign splits is one bar, and the upbeat comes again") {
  const Melody melody = read_line(tune("|: D | C4 | E3 :: F | G4 | A3 :|"));
  CHECK(places(melody) == "0.4 1.1 2.1 0.4 1.1 2.1 2.4 3.1 4.1 2.4 3.1 4.1");
}

TEST_CASE("da capo, dal segno, coda and fine are played out (4.14)") {
  CHECK(bars(read_line(tune("C4 | D4 !fine! | E4 !D.C.! |]"))) == "1 2 3 1 2");
  CHECK(bars(read_line(tune("C4 | !segno! D4 | E4 !dacoda! | F4 !D.S.! | !coda! G4 |]"))) == "1 2 3 4 2 3 5");
}

TEST_CASE("the order of the parts is that of the header (3.1.9)") {
  CHECK(bars(read_line("X:1\nM:4/4\nL:1/4\nP:A(AB)2\nK:C\nP:A\nC4 |\nP:B\nD4 | E4 |\n")) == "1 1 2 3 1 2 3");
}

TEST_CASE("words go to the notes since the last words, adjacent lines are verses (5)") {
  const Melody melody =
      read_line(tune("|: C D E F | G2 G2 :|\nw: a-ve * ma- | ri~a _\nw: o-ther words | here\nA4|\nw: end"));
  CHECK(words(melody) ==
        "a- ve . ma- ri\u00A0"
        "a . o- ther words . here . end");
  CHECK(words(read_line(tune("z C2 D- | D2 E2\nw: one two _ three"))) == "one two three");
}

TEST_CASE("tempo, title, meter signs and fields within a line (3.2)") {
  const Melody melody =
      read_line("X:1\nT:A Song\nM:C|\nL:1/8\nQ:\"Allegro\" 1/4=120\nK:C\nC8 | [M:3/4] [L:1/4] C3 | % end\n");
  CHECK(melody.title == "A Song");
  CHECK(melody.tempo_text == "60");  // half notes
  CHECK(melody.meter == Meter{2, 2});
  CHECK(timeline(melody) == "C4@0+4 C4@4+3");
  CHECK(read_line(tune("C4 |", "(2+3)/8")).meter == Meter{5, 8});
  CHECK(places(read_line(tune("C4 | D2 |", "none"))) == "1.- 2.-");
}

TEST_CASE("a fermata makes a note free, a breath ends the phrase; guitar chords and comments are passed over") {
  const Melody melody = read_line(tune("\"Am\"HC2 !breath! !fermata!D2 | % D4\n%%text x\n\"^hi\"E4 |"));
  CHECK(timeline(melody) == "C4@0+2 D4@2+2 E4@4+4");
  CHECK(melody.notes[0].mark == NoteMark::free);
  CHECK(melody.notes[1].mark == NoteMark::free);
  CHECK(melody.notes[0].phrase == 1);
  CHECK(melody.notes[1].phrase == 2);
}

TEST_CASE("voices are parts; clefs with 8 and transpose= move what sounds (4.6)") {
  const std::string two =
      "X:1\nM:4/4\nL:1/4\nK:C\nV:S name=\"Soprano\"\nV:B clef=bass\nV:S\nc4|\nV:B\nC4|\nV:S\nd4|\n[V:B]D4|\n";
  CHECK(timeline(read_line(two, {"Soprano", {}, {}})) == "C5@0+4 D5@4+4");
  CHECK(timeline(read_line(two, {"B", {}, {}})) == "C4@0+4 D4@4+4");
  CHECK(refusal(two) ==
        "song: has 2 parts, and which of them is the melody is not clear; choose one with --part: 1 "
        "\"Soprano\", 2 \"B\"");
  CHECK(read_line(tune("C4|", "4/4", "C treble-8")).sounds_semitones == -12);
  CHECK(read_line(tune("C4|", "4/4", "D transpose=-2")).sounds_semitones == -2);
  CHECK(line_of("C4|", "4/4", "C octave=-1") == "C3@0+4");
}

TEST_CASE("of a book one tune is chosen by its number") {
  const std::string book = "%abc-2.1\nM:2/4\nL:1/4\n\nX:1\nT:One\nK:C\nC2|\n\nX: 22\nT:Two\nK:C\nD2|\n";
  CHECK(refusal(book) == "song: has 2 tunes; choose one with --tune: 1 \"One\", 22 \"Two\"");
  CHECK(timeline(read_line(book, {{}, "22", {}})) == "D4@0+2");
  CHECK(refusal(book, {{}, "3", {}}) == "song: has no tune \"3\"; its tunes are 1 \"One\", 22 \"Two\"");
  CHECK(refusal(tune("z4 |")) == "song: has no notes; check that it is the right file");
}

TEST_CASE("text that is no UTF-8 is taken for Latin-1") {
  CHECK(words(read_line(tune("C4|\nw: sch\xF6n"))) == "sch\xC3\xB6n");
}

TEST_CASE("more notes and bars than any tune has are refused") {
  std::string many;
  for (int i = 0; i < 300'001; ++i) many += "c/";
  CHECK(refusal(tune(many)) == "song: has more than 300000 notes; give one tune");
  CHECK(refusal(tune("Z9999 Z9999 Z9999 C")) == "song: has more than 20000 bars; give one tune");
}
