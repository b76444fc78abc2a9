#include "reading.hpp"

using namespace firmus;

TEST_CASE("a note that is none is named with its place and what to write") {
  CHECK(only_error("C4 F #4 D4") == "song.melody:1:4: \"F #4\" is in two parts; write F#4");
  CHECK(only_error("F# 4") == "song.melody:1:1: \"F# 4\" is in two parts; write F#4");
  CHECK(only_error("B b4") == "song.melody:1:1: \"B b4\" is in two parts; write Bb4");
  CHECK(only_error("F \u266F4") == "song.melody:1:1: \"F \u266F4\" is in two parts; write F\u266F4");
  CHECK(only_error("H4") == "song.melody:1:1: \"H4\" is a note name of another system; write B4");
  CHECK(only_error("Es4") == "song.melody:1:1: \"Es4\" is a note name of another system; write Eb4");
  CHECK(errors_of("do re").size() == 2);
  CHECK(only_error("C4 F#") == "song.melody:1:4: \"F#\" has no octave; write F#4, the nearest to C4 before it");
}

TEST_CASE("a length that is none is named with what to write") {
  CHECK(only_error("C4:1,5 D4") == "song.melody:1:1: \"1,5\" in \"C4:1,5\" is not a number of beats; write 1.5 or 3/2");
  CHECK(only_error("C4:1/0") ==
        "song.melody:1:1: \"1/0\" in \"C4:1/0\" is not a number of beats; write it as 2, 0.5 or 3/2");
  CHECK(only_error("C4 2") == "song.melody:1:4: \"2\" is not a note; for its length write C4:2");
  CHECK(only_error("C4: 2") == "song.melody:1:1: \"C4: 2\" is in two parts; write C4:2");
  CHECK(only_error("C4 :2") == "song.melody:1:4: \":2\" is not a note; for its length write C4:2");
  CHECK(only_error("C4:") == "song.melody:1:1: \"C4:\" has no length behind its colon; write C4:1");
  for (const char* text :
       {"C4:-1", "C4:1e3", "C4:.5", "C4:1.", "C4:nan", "C4:1/2/3", "C4:0x2", "C4:1234567890", "C4:+1"}) {
    CAPTURE(text);
    CHECK(only_error(text).find("is not a number of beats; write it as 2, 0.5 or 3/2") != std::string::npos);
  }
}

TEST_CASE("marks that are none, or stand where they cannot, are errors") {
  CHECK(only_error("C4:maybe") == "song.melody:1:1: \"C4:maybe\" has a mark but no length; write C4:1:maybe");
  CHECK(only_error("A4:free") == "song.melody:1:1: \"A4:free\" has a mark but no length; write A4:1:free");
  CHECK(only_error("C4:1:soft") ==
        "song.melody:1:1: \"soft\" in \"C4:1:soft\" is not a mark; the marks are maybe (may be left out) and free (any "
        "length)");
  CHECK(only_error("C4 rest:1:free") ==
        "song.melody:1:4: \"rest:1:free\" has a mark, which only notes have; put it on the note");
  CHECK(only_error("C4:1:free:x") ==
        "song.melody:1:1: \"C4:1:free:x\" has too many colons; write NOTE:BEATS or NOTE:BEATS:MARK");
}

TEST_CASE("a hold with nothing to hold is an error, told once however often it is played") {
  CHECK(only_error("hold C4") == "song.melody:1:1: hold has no note to hold; write a note before it");
  CHECK(only_error("C4 rest hold") ==
        "song.melody:1:9: hold has no note to hold: a rest stands before it; write the note again, or a rest");
  CHECK(only_error("C4 , hold") ==
        "song.melody:1:6: hold has no note to hold: a breath stands before it; put the breath behind it");
  CHECK(only_error("C4:0 hold") ==
        "song.melody:1:6: hold has no note to hold: a grace note has no length; give the note before it a length");
  CHECK(errors_of("order: A A A\nsection: A\nC4 rest hold").size() == 1);
  CHECK(only_error("C4 hold:0") ==
        "song.melody:1:4: \"hold:0\" lasts no time; give it a length above 0, or leave it out");
}

TEST_CASE("an unknown header names the nearest known one") {
  CHECK(only_error("metre: 3/4\nC4") == "song.melody:1:1: \"metre:\" is not a header; write \"meter:\"");
  CHECK(only_error("Titel: x\nC4") == "song.melody:1:1: \"Titel:\" is not a header; write \"title:\"");
  CHECK(only_error("C4\nwords2: x") ==
        "song.melody:2:1: \"words2:\" is not a header; write \"words:\", or \"words 2:\" for the second pass");
  CHECK(only_error("C4\nwords 0: x").find("is not a header") != std::string::npos);
  CHECK(only_error("time signature: 3/4\nC4") ==
        "song.melody:1:1: \"time signature:\" is not a header; write \"meter:\"");
  CHECK(
      only_error("composer: x\nC4") ==
      "song.melody:1:1: \"composer:\" is not a header; the headers are title, key, meter, tempo, section, order, bar, "
      "words, "
      "tuning, a4, sounds, reference, drill");
  CHECK(only_error("title:Song C4") ==
        "song.melody:1:1: \"title:Song\" is not a note; a header is a word, a colon and white space: \"title: ...\"");
}

TEST_CASE("a header given twice, or too late, is an error; key, meter and tempo may come again") {
  CHECK(only_error("title: a\ntitle: b\nC4") == "song.melody:2:1: \"title:\" is given twice; keep one of them");
  CHECK(only_error("key: C major\nkey: D major\nC4") == "song.melody:2:1: \"key:\" is given twice; keep one of them");
  CHECK(only_error("C4\ntitle: a") == "song.melody:2:1: \"title:\" stands after the first note; move it to the top");
  CHECK(only_error("rest\na4: 440\nC4") == "song.melody:2:1: \"a4:\" stands after the first note; move it to the top");
  CHECK(errors_of("key: C major\nC4\nkey: D major\nD4\nkey: C major\nC4").empty());
}

TEST_CASE("a header's value that is none says what would be right") {
  CHECK(only_error("key: H major\nC4") ==
        "song.melody:1:6: \"H major\" is not a key; write a note and a mode, such as D major, F# minor or E dorian");
  CHECK(only_error("key:\nC4") ==
        "song.melody:1:5: \"key:\" says nothing; write a note and a mode, such as D major, F# minor or E dorian");
  for (const char* meter : {"3", "3/5", "0/4", "C", "3/4 time", "65/4", "3/128"}) {
    CAPTURE(meter);
    CHECK(only_error(std::string("meter: ") + meter + "\nC4").find("is not a meter; write it as 3/4 or 6/8") !=
          std::string::npos);
  }
  for (const char* tempo : {"fast", "0", "3 = ", "96 bpm", "-3", "= 60", "20000", "999999999 = 999999999"}) {
    CAPTURE(tempo);
    CHECK(only_error(std::string("tempo: ") + tempo + "\nC4").find("is not a tempo; write beats a minute") !=
          std::string::npos);
  }
  CHECK(only_error("a4: 44\nC4") ==
        "song.melody:1:5: \"44\" is not a concert pitch; write hertz from 300 to 600, such as 440 or 442.5");
  CHECK(only_error("sounds: down\nC4").find("is not a number of semitones") != std::string::npos);
  CHECK(only_error("sounds: 1.5\nC4").find("is not a number of semitones") != std::string::npos);
  CHECK(only_error("tuning: well\nC4").find("is not a tuning; write equal, just, pythagorean, meantone") !=
        std::string::npos);
  CHECK(only_error("tuning: 0 0 0\nC4").find("is not a tuning") != std::string::npos);
  CHECK(only_error("reference: interval\nC4").find("write concert or own") != std::string::npos);
}

TEST_CASE("sections and orders that do not fit are errors") {
  CHECK(only_error("order: A C\nsection: A\nC4") ==
        "song.melody:1:10: there is not a section \"C\"; write \"section:\" and this name above its notes");
  CHECK(only_error("order: A\nC4\nsection: A\nD4").find("these notes belong to no section") != std::string::npos);
  CHECK(only_error("section: A\nC4\nsection: A\nD4").find("section \"A\" is opened twice") != std::string::npos);
  CHECK(only_error("section: A B\nC4").find("is not a name for a section") != std::string::npos);
  CHECK(only_error("section: A\nC4\nsection: B\n") ==
        "song.melody:3:10: section \"B\" holds nothing; write its notes below it, or take it out");
  CHECK(only_error("order:\nC4").find("\"order:\" says nothing") != std::string::npos);
}

TEST_CASE("words with no notes above them and lone hyphens are errors") {
  CHECK(only_error("words: a\nC4") == "song.melody:1:1: words with no notes above them; put them below their notes");
  CHECK(only_error("C4 D4\nwords: lan - tern") ==
        "song.melody:2:12: \"-\" is not a syllable; join it to the one before, as in \"lan- tern\"");
}

TEST_CASE("columns count code points, a tab as one") {
  CHECK(only_error("\tC\u266F4 \u266DX4") ==
        "song.melody:1:6: \"\u266DX4\" is not a note; write a letter A to G, # or b, and an octave: F#4");
  CHECK(only_error("title: \u00E9\u00E9\u00E9\nC\u266F4|Q4").rfind("song.melody:2:5:", 0) == 0);
  CHECK(only_error("F\u266F4\u00A0Q4").rfind("song.melody:1:5:", 0) == 0);
}

TEST_CASE("several errors are told at once, by place, twenty at most and then how many more") {
  const auto two = errors_of("key: X\nmeter: 3/4\nC4 Q4");
  REQUIRE(two.size() == 2);
  CHECK(two[0].rfind("song.melody:1:6:", 0) == 0);
  CHECK(two[1].rfind("song.melody:3:4:", 0) == 0);
  std::string text;
  for (int i = 0; i < 27; ++i) text += "Q4 ";
  const auto many = errors_of(text);
  REQUIRE(many.size() == 21);
  CHECK(many[19].rfind("song.melody:1:58:", 0) == 0);
  CHECK(many[20] == "song.melody: and 7 more errors");
  text = "Q4 ";
  for (int i = 0; i < 20; ++i) text += "Q4 ";
  CHECK(errors_of(text).back() == "song.melody: and 1 more error");
}

TEST_CASE("signs of other notations teach how they are written here") {
  CHECK(only_error("G4 A4.") ==
        "song.melody:1:4: \"A4.\" is dotted; a dotted note has its length behind a colon: A4:1.5");
  for (const char* triplet : {"(3 G4 F4 E4", "(3G4 F4 E4"})
    CHECK(only_error(triplet).find("is not a note; write a triplet of one beat as G4:1/3 F4:1/3 E4:1/3") !=
          std::string::npos);
  CHECK(only_error("A4 B C5") == "song.melody:1:4: \"B\" has no octave; write B4, the nearest to A4 before it");
  CHECK(only_error("B3 C D4") == "song.melody:1:4: \"C\" has no octave; write C4, the nearest to B3 before it");
  CHECK(only_error("B D4").find("write B4 (C4 is middle C)") != std::string::npos);
}

TEST_CASE("short names of keys and words for a tempo are read") {
  const Melody melody = read("key: Dm\ntempo: Andante\nmeter: 6/8\nD4\n");
  CHECK(key_name(*melody.key) == "D minor");
  CHECK(melody.tempo_text == "Andante");
  CHECK(*melody.notes[0].quarters_per_minute == 38);  // the beat is an eighth
  CHECK(read(melody_as_text(melody)).tempo_text == "Andante");
  CHECK(only_error("tempo: quite fast\nD4").find("is not a tempo") != std::string::npos);
}

TEST_CASE("what holds no notes says so") {
  CHECK(only_error("") == "song.melody: has no notes; write at least one note, such as C4");
  CHECK(only_error("title: x\n# only a comment\n| |") ==
        "song.melody: has no notes; write at least one note, such as C4");
  CHECK(only_error("rest:4 | rest") == "song.melody: has only rests; write at least one note, such as C4");
}

TEST_CASE("what is not text says so") {
  CHECK(only_error("C4 D\xE9"
                   "4") == "song.melody:1:5: the byte \\xE9 is not UTF-8; save the file as UTF-8");
  CHECK(only_error(std::string("C4\nD4 \0 E4", 10)) ==
        "song.melody:2:4: the control character \\x00 is not text; take it out");
  CHECK(only_error("\xFF\xFE"
                   "C")
            .find("is text in UTF-16") != std::string::npos);
}

TEST_CASE("limits hold at once: 1 MiB, 20 000 notes played out") {
  CHECK(only_error(std::string((1 << 20) + 1, ' ')) ==
        "song.melody: is larger than 1 MiB, the most a melody may have; split it");
  std::string notes;
  for (int i = 0; i < 20000; ++i) notes += "C4 ";
  CHECK(read(notes).notes.size() == 20000);
  CHECK(only_error(notes + "C4") == "song.melody: has 20001 notes when played out, more than 20 000; split it");
  std::string order = "order:";
  for (int i = 0; i < 20001; ++i) order += " A";
  CHECK(only_error(order + "\nsection: A\nC4 D4").find("has 40002 notes when played out") != std::string::npos);
  std::string rests;
  for (int i = 0; i < 100000; ++i) rests += "rest ";
  CHECK(only_error("order: A A A\nsection: A\nC4 " + rests).find("more than 200 000") != std::string::npos);
}

TEST_CASE("lengths that have no exact sum are an error, not a wrong sum") {
  std::string text;
  for (const int prime : {999999937, 999999929, 999999893, 999999883}) text += "C4:1/" + std::to_string(prime) + " ";
  CHECK(only_error(text).find("have no exact sum that fits; use simpler fractions") != std::string::npos);
  CHECK(only_error("meter: 3/4\n" + text + "|").find("have no exact sum that fits") != std::string::npos);
}

TEST_CASE("a long token is cut in its error line") {
  CHECK(only_error(std::string(5000, 'Q')).size() < 200);
  CHECK(only_error("key: " + std::string(5000, 'x') + "\nC4").size() < 200);
}
