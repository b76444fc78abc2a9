#include <sstream>

#include "base/base.hpp"
#include "reading.hpp"

using namespace firmus;

TEST_CASE("a melody is described with bars, beats, intervals, words, range and what to check") {
  const Melody melody = read(
      "title: Lantern Walk\nkey: D major\nmeter: 3/4\ntempo: 96\n"
      "D4 F4 A4:2/3 G4:1/3 | B4:2:free A4:0 F4 , | rest:1.5 E4:1/2\n"
      "words: Light the lan- tern walk the long");
  CHECK(describe_melody(melody) ==
        "Lantern Walk\n"
        "key D major, meter 3/4, tempo 96, A4 = 440 Hz, equal tuning\n"
        "8 notes, bars 1 to 3, 2 phrases, from D4 to B4 (M6)\n"
        "intervals: m2 down (1), M2 down (2), m3 up (1), M3 up (2), M3 down (1)\n"
        "\n"
        "  bar  beat    note       beats       interval    word\n"
        "    1  1       D4         1                       Light\n"
        "       2       F4         1           m3 up       the\n"
        "       3       A4         2/3         M3 up       lan-\n"
        "       3 2/3   G4         1/3         M2 down     tern\n"
        "    2  1       B4         2 free      M3 up       walk\n"
        "       3       A4         grace       M2 down\n"
        "       3       F4         1           M3 down     the\n"
        "\n"
        "               rest       1.5\n"
        "    3  2.5     E4         0.5         m2 down     long\n"
        "\n"
        "To check:\n"
        "- line 5, column 4: F4 stands outside D major (2 times): is F#4 meant?;\n"
        "  accidentals are always written, whatever the key\n"
        "- line 5, column 45: bar 3 has 2 beats, its meter 3/4 asks for 3; check its\n"
        "  lengths and bar lines\n");
}

TEST_CASE("no line of a description is wider than 78 columns") {
  std::string text =
      "title: " + std::string(500, 'x') + " and words " + std::string(90, 'y') + "\nkey: C# major\nmeter: 3/4\n";
  for (int i = 0; i < 60; ++i) text += std::string(i % 3 ? "C##9-199.999:1/3:maybe " : "Fbb0:2 ") + (i % 7 ? "" : "| ");
  text += "\nwords:";
  for (int i = 0; i < 60; ++i)
    text += std::string(" ").append(static_cast<std::size_t>(i + 1) * 2, 'w').append("\u00E9");
  std::istringstream page(describe_melody(read(text)));
  int lines = 0;
  for (std::string line; std::getline(page, line); ++lines) {
    CAPTURE(line);
    CHECK(code_points(line) <= 78);
  }
  CHECK(lines > 70);
}

TEST_CASE("a description says where a section, a pass, a key and a phrase begin") {
  const std::string page =
      describe_melody(read("order: A B A\nkey: C major\nsection: A\nC4 , D4\nsection: B\nkey: G major\nE4"));
  CHECK(page.find("\nsection A\n") != std::string::npos);
  CHECK(page.find("\nsection A, pass 2\n") != std::string::npos);
  CHECK(page.find("key G major\n") != std::string::npos);
  CHECK(page.find("(no title)\nkey C major, no meter, no tempo,") == 0);
}
