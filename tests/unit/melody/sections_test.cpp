#include "reading.hpp"

using namespace firmus;

namespace {

std::string sections(const Melody& melody) {
  std::string line;
  for (const WrittenNote& note : melody.notes) line += note.section + std::to_string(note.pass) + " ";
  return line;
}

}  // namespace

TEST_CASE("an order plays sections out, bars keep their printed number") {
  const Melody melody = read("meter: 2/4\norder: A A B A\nsection: A\nC4 D4 | E4:2\nsection: B\nG4:2");
  CHECK(timeline(melody) == "C4@0+1 D4@1+1 E4@2+2 C4@4+1 D4@5+1 E4@6+2 G4@8+2 C4@10+1 D4@11+1 E4@12+2");
  CHECK(sections(melody) == "A1 A1 A1 A2 A2 A2 B1 A3 A3 A3 ");
  CHECK(places(melody) == "1.1 1.2 2.1 1.1 1.2 2.1 3.1 1.1 1.2 2.1");
  CHECK(melody.notes[9].index == 9);
  CHECK(melody.warnings.empty());
}

TEST_CASE("without an order sections are played as they stand") {
  CHECK(sections(read("C4\nsection: A\nD4\nsection: Coda\nE4")) == "1 A1 Coda1 ");
}

TEST_CASE("words go to the passes, and a refrain sings its words again") {
  const Melody melody =
      read("order: A R A R\nsection: A\nC4 D4\nwords: one two\nwords 2: three four\nsection: R\nE4\nwords: la");
  CHECK(words(melody) == "one two la three four la");
}

TEST_CASE("words belong to the notes since the words before") {
  const Melody melody = read("C4 D4 |\nE4\nwords: a b c\nF4 G4\nA4\nwords: d .\nwords: f\nB4");
  CHECK(words(melody) == "a b c d . f .");
  CHECK(melody.warnings.empty());
}

TEST_CASE("a dot is a note with no syllable, a bar line among the words helps the eye, a comma belongs to its word") {
  CHECK(words(read("C4 D4 E4\nwords: Light, | . home")) == "Light, . home");
}

TEST_CASE("grace notes take a syllable only when every note has one") {
  CHECK(words(read("C4:0 D4 E4\nwords: a b")) == ". a b");
  CHECK(words(read("C4:0 D4 E4\nwords: o a b")) == "o a b");
}

TEST_CASE("a count of syllables that differs is a warning with both counts") {
  CHECK(warnings_of("C4 D4 E4\nwords: a b") ==
        std::vector<std::string>{"song.melody:2:1: the words have 2 syllables for 3 notes; write \".\" for a note with "
                                 "no syllable of its own"});
  CHECK(words(read("C4 D4 E4\nwords: a b")) == "a b .");
  CHECK(warnings_of("C4\nwords: a b").front().find("2 syllables for 1 note;") != std::string::npos);
}

TEST_CASE("sections never played and passes never sung are warned of") {
  CHECK(
      warnings_of("order: A\nsection: A\nC4\nwords 2: x\nsection: B\nD4") ==
      std::vector<std::string>{"song.melody:2:10: the words for pass 2 are never sung: this is played 1 time; play it "
                               "again with \"order:\"",
                               "song.melody:5:10: section \"B\" is never played; name it in \"order:\""});
}

TEST_CASE("a section played again has the key and tempo it is written under") {
  const Melody melody =
      read("order: A B A\nkey: C major\ntempo: 60\nsection: A\nC4\nsection: B\nkey: G major\ntempo: 90\nD4");
  CHECK(melody.notes[1].key == Key{'G', 0, Mode::major});
  CHECK(melody.notes[2].key == Key{'C', 0, Mode::major});
  CHECK(melody.notes[1].quarters_per_minute == 90.0);
  CHECK(melody.notes[2].quarters_per_minute == 60.0);
}

TEST_CASE("phrases are numbered as played, and breaths in a row are one") {
  const Melody melody = read("order: A A\nsection: A\n, C4 , , D4 ,");
  CHECK(melody.notes[0].phrase == 1);
  CHECK(melody.notes[1].phrase == 2);
  CHECK(melody.notes[2].phrase == 3);
  CHECK(melody.notes[3].phrase == 4);
}
