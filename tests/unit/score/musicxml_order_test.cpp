// Repeats, endings and jumps, as the MusicXML 4.0 reference describes <repeat>, <ending> and <sound>.
#include "xml_score.hpp"

using namespace firmus;

namespace {

/// Measures of one whole note each; content before and after the note of some of them.
std::string ordered(int count, const std::vector<std::pair<int, std::string>>& before,
                    const std::vector<std::pair<int, std::string>>& after = {}) {
  std::string measures;
  for (int n = 1; n <= count; ++n) {
    std::string content = n == 1 ? xml_begin() : "";
    for (const auto& [bar, signs] : before)
      if (bar == n) content += signs;
    content += xml_note("C4", 16);
    for (const auto& [bar, signs] : after)
      if (bar == n) content += signs;
    measures += xml_measure(std::to_string(n), content);
  }
  return xml_song(measures);
}

std::string sound(const std::string& attribute) {
  return "<direction><direction-type><words>x</words></direction-type><sound " + attribute + "/></direction>";
}
std::string start(const std::string& numbers) {
  return "<barline location=\"left\"><ending number=\"" + numbers + "\" type=\"start\"/></barline>";
}
std::string stop(const std::string& numbers, bool back) {
  const std::string ending = "<ending number=\"" + numbers + "\" type=\"" + (back ? "stop" : "discontinue") + "\"/>";
  return back ? xml_repeat("backward", ending) : "<barline location=\"right\">" + ending + "</barline>";
}

}  // namespace

TEST_CASE("a backward sign without a forward one goes to the begin, a later one to the last backward sign") {
  CHECK(bars(read_line(ordered(3, {}, {{2, xml_repeat("backward")}}))) == "1 2 1 2 3");
  CHECK(bars(read_line(ordered(4, {}, {{2, xml_repeat("backward")}, {4, xml_repeat("backward")}}))) ==
        "1 2 1 2 3 4 3 4");
  CHECK(bars(read_line(ordered(4, {{2, xml_repeat("forward")}}, {{3, xml_repeat("backward")}}))) == "1 2 3 2 3 4");
}

TEST_CASE("times says how often in all") {
  const std::string thrice = "<barline location=\"right\"><repeat direction=\"backward\" times=\"3\"/></barline>";
  CHECK(bars(read_line(ordered(3, {{2, xml_repeat("forward")}}, {{2, thrice}}))) == "1 2 2 2 3");
}

TEST_CASE("endings are played by their numbers") {
  CHECK(bars(read_line(ordered(4, {{2, start("1")}, {3, start("2")}},
                               {{2, stop("1", true)}, {3, stop("2", false)}}))) == "1 2 1 3 4");
  CHECK(bars(read_line(ordered(4, {{2, start("1, 2")}, {3, start("3")}},
                               {{2, stop("1, 2", true)}, {3, stop("3", false)}}))) == "1 2 1 2 1 3 4");
  CHECK(bars(read_line(ordered(5, {{2, start("1")}, {3, start("2-3")}, {4, start("4.")}},
                               {{2, stop("1", true)}, {3, stop("2-3", true)}, {4, stop("4.", false)}}))) ==
        "1 2 1 3 1 3 1 4 5");
  CHECK(bars(read_line(ordered(3, {{2, start("1")}}, {{2, stop("1", true)}}))) == "1 2 1 3");  // a first ending alone
  CHECK(bars(read_line(ordered(4, {{2, start("1")}, {3, start("2")}}, {{2, stop("1", true)}, {3, stop("2", true)}}))) ==
        "1 2 1 3 4");
}

TEST_CASE("da capo goes to the begin, to the Fine; no repeat is taken again") {
  CHECK(bars(read_line(ordered(4, {}, {{2, sound("fine=\"yes\"")}, {4, sound("dacapo=\"yes\"")}}))) == "1 2 3 4 1 2");
  CHECK(bars(read_line(ordered(3, {}, {{2, xml_repeat("backward")}, {3, sound("dacapo=\"yes\"")}}))) ==
        "1 2 1 2 3 1 2 3");
}

TEST_CASE("dal segno goes to the sign; to Coda leads to the coda; of the endings the last is played") {
  CHECK(bars(read_line(ordered(6, {{2, sound("segno=\"s\"")}, {6, sound("coda=\"c\"")}},
                               {{3, sound("tocoda=\"c\"")}, {5, sound("dalsegno=\"s\"")}}))) == "1 2 3 4 5 2 3 6");
  CHECK(bars(read_line(ordered(4, {{2, start("1")}, {3, start("2")}},
                               {{2, stop("1", true)}, {3, stop("2", false)}, {4, sound("dacapo=\"yes\"")}}))) ==
        "1 2 1 3 4 1 3 4");
}

TEST_CASE("jumps that only words and signs say are played too, and said") {
  const auto words = [](const char* text) {
    return "<direction><direction-type><words>" + std::string(text) + "</words></direction-type></direction>";
  };
  const std::string segno = "<direction><direction-type><segno/></direction-type></direction>";
  const std::string coda = "<direction><direction-type><coda/></direction-type></direction>";
  const Melody fine = read_line(ordered(3, {{2, segno}}, {{2, words("Fine")}, {3, words("D.S. al Fine")}}));
  CHECK(bars(fine) == "1 2 3 2");
  CHECK(remarks(fine) == std::vector<std::string>{"song: bar 2: \"Fine\" is played out as its words say",
                                                  "song: bar 3: \"D.S. al Fine\" is played out as its words say"});
  CHECK(bars(read_line(ordered(4, {{4, coda}}, {{1, coda}, {3, words("Da Capo al Coda")}}))) == "1 2 3 1 4");
  CHECK(bars(read_line(ordered(2, {}, {{1, words("Fine, ma non troppo")}, {2, words("dolce")}}))) == "1 2");
}

TEST_CASE("signs hold for all parts, though written in one") {
  const std::string other = xml_part(xml_measure("1", xml_begin() + xml_note("C3", 16)) +
                                         xml_measure("2", xml_note("C3", 16) + xml_repeat("backward")),
                                     "P2");
  const std::string song = xml_score(xml_part(xml_measure("1", xml_begin() + xml_note("C4", 16, xml_lyric(1, "la"))) +
                                              xml_measure("2", xml_note("D4", 16))) +
                                         other,
                                     {"Voice", "Piano"});
  CHECK(bars(read_line(song)) == "1 2 1 2");
}

TEST_CASE("repeats without end are refused at once") {
  std::string measures;
  const std::string many = "<barline location=\"right\"><repeat direction=\"backward\" times=\"99\"/></barline>";
  for (int n = 1; n <= 300; ++n)
    measures +=
        xml_measure(std::to_string(n), (n == 1 ? xml_begin() : "") + xml_note("C4", 16) + (n % 2 == 0 ? many : ""));
  CHECK(refusal(xml_song(measures)) ==
        "song: has more than 20 000 bars when its repeats are played out; check its repeat signs");
}
