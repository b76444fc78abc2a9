// What the elements of MusicXML 4.0 mean (the W3C's MusicXML 4.0 reference), by small scores of our own.
#include "xml_score.hpp"

using namespace firmus;

TEST_CASE("a part reads as its bars, notes, words, key and tempo") {
  const Melody melody = read_line(
      xml_song(xml_measure("0",
                           "<attributes><divisions>4</divisions><key><fifths>-1</fifths><mode>minor</mode></key>"
                           "<time><beats>3</beats><beat-type>4</beat-type></time></attributes>"
                           "<direction><sound tempo=\"96\"/></direction>" +
                               xml_note("A4", 4, xml_lyric(1, "The", "single"))) +
               xml_measure("1", xml_note("D5", 6, xml_lyric(1, "gar", "begin")) + xml_note("C#5", 2) +
                                    xml_note("Bb4", 4, xml_lyric(1, "den", "end")))));
  CHECK(melody.title == "Song");
  CHECK(timeline(melody) == "A4@0+1 D5@1+3/2 C#5@5/2+1/2 Bb4@3+1");
  CHECK(places(melody) == "0.3 1.1 1.5/2 1.3");
  CHECK(words(melody) == "The gar- . den");
  CHECK(key_name(*melody.key) == "D minor");
  CHECK(melody.tempo_text == "96");
  CHECK(melody.warnings.empty());
}

TEST_CASE("the measure is as long as what it holds; a short first one is an upbeat, whatever its number") {
  const Melody melody =
      read_line(xml_song(xml_measure("1", xml_begin() + xml_note("C4", 8)) + xml_measure("2", xml_note("D4", 12)) +
                         xml_measure("3", xml_note("E4", 16))));
  CHECK(places(melody) == "1.3 2.1 3.1");
  CHECK(timeline(melody) == "C4@0+2 D4@2+3 E4@5+4");
}

TEST_CASE("an implicit measure goes on with the bar before it") {
  const Melody melody = read_line(xml_song(xml_measure("1", xml_begin() + xml_note("C4", 16)) +
                                           xml_measure("2", xml_note("D4", 12) + xml_repeat("backward")) +
                                           xml_measure("X1", xml_note("E4", 4), " implicit=\"yes\"") +
                                           xml_measure("3", xml_note("F4", 16))));
  CHECK(places(melody) == "1.1 2.1 1.1 2.1 2.4 3.1");
}

TEST_CASE("bars keep the numbers that are printed") {
  const Melody melody = read_line(xml_song(xml_measure("17", xml_begin() + xml_note("C4", 16)) +
                                           xml_measure("18", xml_rest(16)) + xml_measure("30", xml_note("E4", 16))));
  CHECK(places(melody) == "17.1 30.1");
  CHECK(timeline(melody) == "C4@0+4 E4@8+4");
}

TEST_CASE("ties are one note, over bars too; a tie into nothing, or into another pitch, is none") {
  const std::string begin = "<tie type=\"start\"/>", end = "<tie type=\"stop\"/>";
  const Melody melody =
      read_line(xml_song(xml_measure("1", xml_begin() + xml_note("C4", 8) + xml_note("D4", 8, begin)) +
                         xml_measure("2", xml_note("D4", 4, end + begin) + xml_note("D4", 4, end) +
                                              xml_note("E4", 4, begin) + xml_note("F4", 4, end)) +
                         xml_measure("3", xml_note("G4", 8, begin) + xml_rest(4) + xml_note("G4", 4, end))));
  CHECK(timeline(melody) == "C4@0+2 D4@2+4 E4@6+1 F4@7+1 G4@8+2 G4@11+1");
}

TEST_CASE("a tie into a second ending holds in the order performed") {
  const std::string begin = "<tie type=\"start\"/>", end = "<tie type=\"stop\"/>";
  const Melody melody = read_line(xml_song(xml_measure("1", xml_begin() + xml_note("C4", 16, begin)) +
                                           xml_measure("2", xml_ending("1", xml_note("C4", 16, end), false)) +
                                           xml_measure("3", xml_ending("2", xml_note("C4", 16, end), true))));
  CHECK(timeline(melody) == "C4@0+8 C4@8+8");
  // The first measure again is not tied into, though it is after the end of the piece.
  const Melody around = read_line(xml_song(xml_measure("1", xml_begin() + xml_note("C4", 16, end)) +
                                           xml_measure("2", xml_note("C4", 16, begin) + xml_repeat("backward"))));
  CHECK(timeline(around) == "C4@0+4 C4@4+8 C4@12+4");
}

TEST_CASE("grace notes have no length and stand at the note they lead to, also within a tied note") {
  const std::string grace = "<grace/>";
  const Melody melody = read_line(xml_song(xml_measure(
      "1", xml_begin() + xml_note("C4", 4, "<tie type=\"start\"/>") + xml_note("E4", 0, "", grace) +
               xml_note("C4", 4, "<tie type=\"stop\"/>") + xml_note("F4", 0, "", grace) + xml_note("G4", 8))));
  CHECK(timeline(melody) == "C4@0+2 E4@1+0 F4@2+0 G4@2+2");
  CHECK(melody.notes[1].grace);
  CHECK(places(melody) == "1.1 1.2 1.3 1.3");
}

TEST_CASE("tuplets are as long as their durations say") {
  const Melody melody = read_line(xml_song(xml_measure(
      "1", "<attributes><divisions>6</divisions><time><beats>2</beats><beat-type>4</beat-type></time></attributes>" +
               xml_note("C4", 2) + xml_note("D4", 2) + xml_note("E4", 2) + xml_note("F4", 6))));
  CHECK(timeline(melody) == "C4@0+1/3 D4@1/3+1/3 E4@2/3+1/3 F4@1+1");
}

TEST_CASE("the top note of a chord is taken, cue notes are rests, and both are said with their bars") {
  const std::string chord = "<chord/>";
  const Melody melody =
      read_line(xml_song(xml_measure("1", xml_begin() + xml_note("E4", 8, xml_lyric(1, "ah")) +
                                              xml_note("G4", 8, "", chord) + xml_note("C4", 8, "", "<cue/>")) +
                         xml_measure("2", xml_note("D4", 16))));
  CHECK(timeline(melody) == "G4@0+2 D4@4+4");
  CHECK(words(melody) == "ah .");
  CHECK(remarks(melody) == std::vector<std::string>{"song: bar 1: of a chord, the top note is taken",
                                                    "song: bar 1: cue notes are not sung: they are left out"});
}

TEST_CASE("of several voices the one with the lowest number on the upper staff is read") {
  const std::string backup = "<backup><duration>16</duration></backup>";
  const auto voiced = [](std::string note, const char* voice) {
    note.replace(note.find("<voice>1"), 8, std::string("<voice>") + voice);
    return note;
  };
  const std::string low =
      "<note><pitch><step>C</step><octave>3</octave></pitch><duration>16</duration><voice>1</voice><staff>2</staff></"
      "note>";
  const Melody melody = read_line(xml_song(xml_measure(
      "1", xml_begin() + voiced(xml_note("C4", 16), "10") + backup + voiced(xml_note("E4", 8), "2") +
               "<forward><duration>4</duration></forward>" + voiced(xml_note("F4", 4), "2") + backup + low)));
  CHECK(timeline(melody) == "E4@0+2 F4@3+1");
  CHECK(remarks(melody).size() == 2);
}

TEST_CASE("a transposing part keeps its written notes and sounds lower, also from where it changes") {
  const auto transpose = [](int chromatic, int octaves) {
    return "<attributes><transpose><chromatic>" + std::to_string(chromatic) + "</chromatic><octave-change>" +
           std::to_string(octaves) + "</octave-change></transpose></attributes>";
  };
  const Melody melody = read_line(xml_song(xml_measure("1", xml_begin() + transpose(-2, 0) + xml_note("D4", 16)) +
                                           xml_measure("2", transpose(-2, -1) + xml_note("D4", 16))));
  CHECK(melody.sounds_semitones == -2);
  CHECK(melody.notes[0].target_hz == doctest::Approx(261.6256));
  CHECK(melody.notes[1].target_hz == doctest::Approx(130.8128));
}

TEST_CASE("quarter tones are read") {
  const std::string note =
      "<note><pitch><step>F</step><alter>1.5</alter><octave>4</octave></pitch><duration>16</duration></note>";
  CHECK(pitch_name(read_line(xml_song(xml_measure("1", xml_begin() + note))).notes[0].pitch) == "F#4+50");
}

TEST_CASE("verse k is sung the k-th time, the first verse where a bar has no other, one verse where it is asked for") {
  const std::string song =
      xml_song(xml_measure("1", xml_begin(2, 4) + xml_note("C4", 8, xml_lyric(1, "one") + xml_lyric(2, "two"))) +
               xml_measure("2", xml_note("D4", 8, xml_lyric(1, "refrain")) + xml_repeat("backward")));
  CHECK(words(read_line(song)) == "one refrain two refrain");
  CHECK(words(read_line(song, {{}, {}, 2})) == "two refrain two refrain");
}

TEST_CASE("elisions are one syllable, and numbers that stand in a syllable stay") {
  const std::string elided =
      "<lyric number=\"1\"><syllabic>end</syllabic><text>so</text><elision>\xE2\x80\xBF</elision>"
      "<syllabic>begin</syllabic><text>a</text></lyric>";
  const Melody melody = read_line(xml_song(
      xml_measure("1", xml_begin() + xml_note("C4", 8, xml_lyric(1, "1. Al", "begin")) + xml_note("C4", 8, elided))));
  CHECK(words(melody) ==
        "1.\u00A0"
        "Al- so\u00A0"
        "a-");
}

TEST_CASE("a fermata makes the note free, a breath mark ends the phrase behind a tied note") {
  const std::string breath = "<notations><articulations><breath-mark/></articulations></notations>";
  const Melody melody =
      read_line(xml_song(xml_measure("1", xml_begin() + xml_note("C4", 8, "<notations><fermata/></notations>") +
                                              xml_note("D4", 8, "<tie type=\"start\"/>" + breath)) +
                         xml_measure("2", xml_note("D4", 8, "<tie type=\"stop\"/>" + breath) + xml_note("E4", 8))));
  CHECK(melody.notes[0].mark == NoteMark::free);
  CHECK(timeline(melody) == "C4@0+2 D4@2+4 E4@6+2");
  CHECK(melody.notes[1].phrase == 1);
  CHECK(melody.notes[2].phrase == 2);
}

TEST_CASE("meters may be sums, change, and end") {
  const Melody melody = read_line(xml_song(
      xml_measure(
          "1",
          "<attributes><divisions>4</divisions><time><beats>3+2</beats><beat-type>8</beat-type></time></attributes>" +
              xml_note("C4", 10)) +
      xml_measure(
          "2", "<attributes><time><beats>2</beats><beat-type>4</beat-type></time></attributes>" + xml_note("D4", 8)) +
      xml_measure("3", "<attributes><time><senza-misura/></time></attributes>" + xml_note("E4", 12))));
  CHECK(melody.meter == Meter{5, 8});
  CHECK(places(melody) == "1.1 2.1 3.-");
  CHECK(melody.notes[2].onset_beats == Fraction(7));
}

TEST_CASE("scores by time are read as those by part") {
  const std::string song =
      "<score-timewise><part-list><score-part id=\"P1\"><part-name>V</part-name></score-part></part-list>"
      "<measure number=\"1\"><part id=\"P1\">" +
      xml_begin() + xml_note("C4", 16) +
      "</part></measure>"
      "<measure number=\"2\"><part id=\"P1\">" +
      xml_note("D4", 16) + "</part></measure></score-timewise>";
  CHECK(timeline(read_line(song)) == "C4@0+4 D4@4+4");
}

TEST_CASE("of several parts the only one with words is read; else they are listed") {
  const auto part = [](const char* id, const std::string& note) {
    return xml_part(xml_measure("1", xml_begin() + note), id);
  };
  const std::string plain =
      xml_score(part("P1", xml_note("C4", 16)) + part("P2", xml_note("E4", 16)), {"Flute", "Flute 2"});
  CHECK(refusal(plain) ==
        "song: has 2 parts, and which of them is the melody is not clear; choose one with --part: 1 "
        "\"Flute\", 2 \"Flute 2\"");
  CHECK(timeline(read_line(plain, {"2", {}, {}})) == "E4@0+4");
  CHECK(timeline(read_line(plain, {"flute", {}, {}})) == "C4@0+4");
  CHECK(refusal(plain, {"Oboe", {}, {}}) == "song: has no part \"Oboe\"; its parts are 1 \"Flute\", 2 \"Flute 2\"");
  const std::string sung = xml_score(
      part("P1", xml_note("C4", 16)) + part("P2", xml_note("E4", 16, xml_lyric(1, "la"))), {"Piano", "Voice"});
  CHECK(timeline(read_line(sung)) == "E4@0+4");
  CHECK(refusal("C4 D4", {"2", {}, {}}) == "song: --part chooses from a score; this melody has one line; leave it out");
}

TEST_CASE("percussion, no notes and other XML are refused by name") {
  const std::string drum = "<note><unpitched/><duration>16</duration></note>";
  CHECK(refusal(xml_song(xml_measure("1", xml_begin() + drum))).find("is unpitched percussion") != std::string::npos);
  CHECK(refusal(xml_song(xml_measure("1", xml_begin() + xml_rest(16)))) ==
        "song: has no notes; check that it is the right file");
  CHECK(refusal("<svg/>") == "song: is XML with the root \"svg\", no MusicXML score; export the score as MusicXML");
  CHECK(refusal("<score-partwise/>") == "song: has no part with measures; export the score again");
  CHECK(refusal("<score-partwise>\n<part>").find("song: is damaged XML: ") == 0);
}

TEST_CASE("a document type that declares entities is refused") {
  for (const char* declared : {"<!DOCTYPE s [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>",
                               "<!DOCTYPE s [<!ENTITY x SYSTEM \"file:///etc/passwd\">]>"})
    CHECK(refusal(std::string(declared) + "<score-partwise/>") ==
          "song: declares XML entities, which are not read; export the score again as MusicXML");
}

TEST_CASE("more notes than any song has are refused") {
  std::string notes;
  for (int i = 0; i < 300'001; ++i) notes += "<note><rest/></note>";
  CHECK(refusal(xml_song(xml_measure("1", notes))) == "song: has more than 300000 notes; export one part or one song");
}
