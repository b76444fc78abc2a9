#include "reading.hpp"

using namespace firmus;

TEST_CASE("CSV is told by its first line, whatever its separator and line ends") {
  const std::string expected = "D4@0+1 F#4@1+3/2 A4@7/2+1";
  CHECK(timeline(read("note,beats\nD4,1\nF#4,1.5\nrest,1\nA4,1\n")) == expected);
  CHECK(timeline(read("note;beats\r\nD4;1\r\nF#4;3/2\r\nrest;1\r\nA4;1")) == expected);
  CHECK(timeline(read("\n Note\tBeats\rD4\t1\rF#4\t1.5\rREST\t1\ra4\t1\r")) == expected);
  CHECK(timeline(read("\xEF\xBB\xBF\"note\",\"beats\"\n\"D4\",\"1\"\n\"F#4\",1.5\nrest,1\nA4,\n,\n")) == expected);
  CHECK(timeline(read("beats,note\n1,D4\n1.5,F#4\n1,rest\n1,A4")) == expected);
}

TEST_CASE("bars, words and phrases come from their columns") {
  const Melody melody = read(
      "note,beats,bar,word,phrase\n"
      "D4,1,0,Oh,1\n"
      "G4,2,1,\"light, the\",1\n"
      "A4,1,,,\n"
      "hold,1,2,,1\n"
      "rest,1,2,,1\n"
      "B4,1,2,home,2\n"
      "G4,3,3,\"'-er\",2\n");
  CHECK(timeline(melody) == "D4@0+1 G4@1+2 A4@3+2 B4@6+1 G4@7+3");
  CHECK(places(melody) == "0.3 1.1 1.3 2.3 3.1");
  CHECK(words(melody) == "Oh light,\u00A0the . home -er");
  CHECK(melody.notes[2].phrase == 1);
  CHECK(melody.notes[3].phrase == 2);
  CHECK(melody.meter == Meter{3, 4});  // the commonest length of its bars
  CHECK_FALSE(melody.key.has_value());
  CHECK(melody.warnings.empty());
}

TEST_CASE("a CSV without bars has no meter; bars that do not add up are warned of") {
  CHECK_FALSE(read("note,beats\nC4,3\nD4,3").meter.has_value());
  CHECK(warnings_of("note,beats,bar\nC4,2,1\nD4,2,2\nE4,1,3\nF4,2,4") ==
        std::vector<std::string>{
            "song.melody:4:1: bar 3 has 1 beat, its meter 2/4 asks for 2; check its lengths and bar lines"});
  CHECK(places(read("note,beats,bar\nC4,2,5\nD4,2,6\nE4,1,6")) == "5.1 6.1 6.3");
  CHECK(places(read("note,beats,bar\nC4,1.5,1\nD4,1.5,2\n")) == "1.- 2.-");
  CHECK(read("note,beats,bar\nC4,1,0\nD4,3,1\nE4,2,2").meter == Meter{3, 4});  // each length once: the longest
}

TEST_CASE("a decimal comma is an error under every separator") {
  CHECK(only_error("note;beats\nC4;1,5") == "song.melody:2:4: \"1,5\" is not a number of beats; write 1.5 or 3/2");
  CHECK(only_error("note\tbeats\nC4\t0,25") == "song.melody:2:4: \"0,25\" is not a number of beats; write 0.25 or 1/4");
  CHECK(only_error("note,beats\nC4,1,5") ==
        "song.melody:2:6: the row has 3 fields for 2 columns; put fields that hold the separator in quotes");
}

TEST_CASE("errors in CSV have a line and a column in code points, several at once") {
  const auto lines = errors_of(
      "note,beats,bar,word,phrase\nH4,x,1,a,1\n,1,1,a,1\nC4,1,one,a,0\nC4,1,1,-,1\nrest,1,1,la,1\nC4:2,1,1,a,1\n");
  CHECK(lines ==
        std::vector<std::string>{"song.melody:2:1: \"H4\" is a note name of another system; write B4",
                                 "song.melody:2:4: \"x\" is not a number of beats; write it as 2, 0.5 or 3/2",
                                 "song.melody:3:1: the row has no note; write one such as F#4, or rest",
                                 "song.melody:4:6: \"one\" is not a number of a bar; write a whole number from 0",
                                 "song.melody:4:12: \"0\" is not a number of a phrase; write a whole number from 1",
                                 "song.melody:5:8: \"-\" is not a word; write the syllable, or leave the field empty",
                                 "song.melody:6:10: \"la\" stands beside no note; move it to its note",
                                 "song.melody:7:1: \"C4:2\" is not a note; put its length into the column beats"});
  CHECK(only_error("word,note,beats\n\"\u00E9\u00E9\",Q4,1").rfind("song.melody:2:6:", 0) == 0);
  CHECK(only_error("note,beats,word\nC4,1,\"two\nlines\"\nQ4,1,x").rfind("song.melody:4:1:", 0) == 0);
}

TEST_CASE("columns that are unknown, doubled or lacking are errors") {
  CHECK(only_error("note,beats,colour\nC4,1,red") ==
        "song.melody:1:12: \"colour\" is not a column of a melody; the columns are note, beats, bar, word, phrase");
  CHECK(only_error("note,beats,note\nC4,1,C4") ==
        "song.melody:1:12: the column \"note\" is there twice; keep one of them");
  CHECK(only_error("note,bar\nC4,1") ==
        "song.melody:1:1: there is no column \"beats\"; name the columns note,beats in the first line");
  CHECK(only_error("D4,1\nE4,1").find("looks like CSV without the names of its columns; write note,beats") !=
        std::string::npos);
}

TEST_CASE("quotes are RFC 4180") {
  const Melody melody = read("note,beats,word\nC4,1,\"say \"\"oh\"\"\"\nD4,1,\"a\nb\"\n");
  CHECK(words(melody) ==
        "say\u00A0\"oh\" a\u00A0"
        "b");
  CHECK(only_error("note,beats,word\nC4,1,\"open\n") ==
        "song.melody:2:6: this quoted field never ends; close it with \"");
  CHECK(only_error("note,beats,word\nC4,1,\"a\"b\n").find("there is text behind the closing quote") !=
        std::string::npos);
}

TEST_CASE("a CSV of rests alone, or of names alone, holds no notes") {
  CHECK(only_error("note,beats\nrest,4\n") == "song.melody: has only rests; write at least one note, such as C4");
  CHECK(only_error("note,beats\n") == "song.melody: has no notes; write at least one note, such as C4");
  CHECK(only_error("note,beats\nrest,0\n") ==
        "song.melody:2:6: \"rest\" lasts no time; give it a length above 0, or leave it out");
}

TEST_CASE("a melody written as CSV has a row for every note as performed; rests and holds have none") {
  const Melody melody =
      read("meter: 6/8\nC4:3 D4:3 , | rest:1 E4:1/3 F4:2/3 G4:4 | hold:6\nwords: =SUM(1) a,b -c \"d e");
  CHECK(melody_as_csv(melody) ==
        "index,bar,beat,start_beats,beats,written,sounding_midi,word,grace,fermata,phrase,maybe,meter\r\n"
        "0,1,1,0,3,C4,60,'=SUM(1),,,1,,6/8\r\n"
        "1,1,4,3,3,D4,62,\"a,b\",,,1,,6/8\r\n"
        "2,2,2,7,0 1/3,E4,64,'-c,,,2,,6/8\r\n"
        "3,2,2 1/3,7 1/3,0 2/3,F4,65,\"\"\"d\",,,2,,6/8\r\n"
        "4,2,3,8,10,G4,67,e,,,2,,6/8\r\n");
  CHECK(facts(read(melody_as_csv(melody))) == facts(melody));
}

TEST_CASE("the table says what each note is: sounding height, grace notes, fermatas, what may be left out") {
  const Melody melody =
      read("sounds: -2\nmeter: 3/4\nC4+50:0 D4:2:free | E4:1:maybe hold:1 F#4:0 hold:1 |\nmeter: 2/8\nG4 |\n");
  const std::string table = melody_as_csv(melody);
  CHECK(table ==
        "index,bar,beat,start_beats,beats,written,sounding_midi,word,grace,fermata,phrase,maybe,meter\r\n"
        "0,0,2,0,0,C4+50,58.5,,1,,1,,3/4\r\n"
        "1,0,2,0,2,D4,60,,,1,1,,3/4\r\n"
        "2,1,1,2,3,E4,62,,,,1,1,3/4\r\n"
        "3,1,3,4,0,F#4,64,,1,,1,,3/4\r\n"
        "4,2,1,5,1,G4,65,,,,1,,2/8\r\n");
  CHECK(facts(read(table)) == facts(melody));
}

TEST_CASE("a table with the columns of a score alone is read, in quarter notes") {
  const Melody melody =
      read("bar,start_beats,beats,written,word,colour\n1,0.5,1/2,Bb4,a,red\n1,1,1,C5,,\n2,3 1/3,0 2/3,D5,b,\n");
  CHECK(timeline(melody) == "Bb4@1/2+1/2 C5@1+1 D5@10/3+2/3");
  CHECK(places(melody) == "1.- 1.- 2.-");
  CHECK(words(melody) == "a . b");
  CHECK(only_error("start_beats,beats,written\n0,2,C4\n1,1,D4\n") ==
        "song.melody:3:5: D4 starts before the note before it ends; correct start_beats, or the beats of the note "
        "before");
  CHECK(only_error("start_beats,beats,written\n0,,C4\n") ==
        "song.melody:2:1: the row lacks its note, start or length; fill in written, start_beats and beats");
  CHECK(only_error("start_beats,beats,written\n0,1,H4\n").find("write B4") != std::string::npos);
  CHECK(only_error("start_beats,beats,written,meter\n0,1,C4,3\n").find("is not a meter") != std::string::npos);
  CHECK(only_error("start_beats,beats,written,sounding_midi\n0,1,C4,high\n").find("is not a pitch near") !=
        std::string::npos);
}
