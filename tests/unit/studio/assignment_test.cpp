#include <doctest/doctest.h>

#include "firmus/studio.hpp"
#include "refusals.hpp"

using namespace firmus;
using firmus::testing::refusal;

namespace {

const std::string one_piece = R"("pieces": [{"id": "kite", "melody": "kite.melody"}])";

std::string complaint(const std::string& json) {
  return refusal([&] { return read_assignment(json, "a.json"); });
}
std::string rubric_complaint(const std::string& json) {
  return refusal([&] { return read_rubric(json, "r.json"); });
}
bool starts(const std::string& text, const std::string& with) {
  CAPTURE(text);
  return text.rfind(with, 0) == 0;
}

}  // namespace

TEST_CASE("only the pieces of an assignment are required; the rest has its defaults") {
  const Assignment a = read_assignment("{" + one_piece + "}", "a.json");
  CHECK(a.title == "");
  CHECK((!a.date && !a.takes_path && !a.roster_path && !a.rubric_path && !a.overrides_path));
  REQUIRE(a.pieces.size() == 1);
  CHECK((a.pieces[0].id == "kite" && a.pieces[0].melody_path == "kite.melody" && a.pieces[0].weight == 1));
  CHECK((!a.pieces[0].match && !a.pieces[0].reference && !a.pieces[0].tolerance_cents));
  CHECK(a.attempts == TriesRule::last_full);
  CHECK(a.rubric.bands == std::vector<Band>{{25, 1}, {50, 0.5}});
  CHECK((a.rubric.missing == 0 && a.rubric.extra == 0 && a.rubric.other_note == 0));
  CHECK((a.rubric.least_judged_share == 0.6 && !a.rubric.pass_percent));
  CHECK((!a.rubric.round_points && !a.rubric.round_standings));
}

TEST_CASE("every field of an assignment is read") {
  const Assignment a = read_assignment(R"({"title": "Week 3", "date": "2031-05-17", "takes": "in", "roster": "c.csv",
    "pieces": [{"id": "kite", "melody": "k", "match": "{student}-k*", "weight": 2, "reference": "concert", "tolerance_cents": 15}],
    "rubric": {"bands": [{"within_cents": 10, "points": 4}, {"within_cents": 30, "points": 2}], "missing": -1, "extra": -0.5,
               "other_note": -2, "least_judged_share": 0.5, "pass_percent": 60, "round": {"points": true, "standings": true}},
    "tries": "best", "overrides": "o.csv"})",
                                       "a.json");
  CHECK((a.title == "Week 3" && a.date == "2031-05-17" && a.takes_path == "in" && a.roster_path == "c.csv"));
  const Piece& piece = a.pieces.at(0);
  CHECK((piece.match == "{student}-k*" && piece.weight == 2 && piece.reference == Reference::concert));
  CHECK(piece.tolerance_cents == 15);
  CHECK(a.rubric.bands == std::vector<Band>{{10, 4}, {30, 2}});
  CHECK((a.rubric.missing == -1 && a.rubric.extra == -0.5 && a.rubric.other_note == -2));
  CHECK((a.rubric.least_judged_share == 0.5 && a.rubric.pass_percent == 60));
  CHECK((a.rubric.round_points && a.rubric.round_standings));
  CHECK((a.attempts == TriesRule::best && a.overrides_path == "o.csv"));
  CHECK(read_assignment("{" + one_piece + R"(, "rubric": "r.json"})", "a").rubric_path == "r.json");
}

TEST_CASE("unknown and repeated keys are told where they stand") {
  CHECK(complaint("{\n  \"piece\": 1,\n  " + one_piece + "}") ==
        "a.json:2:3: the key \"piece\" is not known; the keys here are title, date, takes, roster, pieces, rubric, "
        "tries, overrides\n");
  CHECK(complaint("{" + one_piece + ",\n \"title\": \"a\", \"title\": \"b\"}") ==
        "a.json:2:16: the key \"title\" is given twice; leave one of the two\n");
  CHECK(starts(complaint(R"({"pieces": [{"id": "a", "melody": "b", "colour": 1}]})"),
               "a.json:1:40: the key \"colour\" is not known"));
  CHECK(starts(complaint("{" + one_piece + ", \"rubric\": {\"round\": {\"prizes\": true}}}"),
               "a.json:1:76: the key \"prizes\" is not known"));
}

TEST_CASE("wrong types and values out of range are told where they stand, several at once") {
  CHECK(complaint("{\"title\": 3,\n\"date\": \"17.5.2031\",\n" + one_piece + "}") ==
        "a.json:1:11: \"title\" is a number; text would be right\n"
        "a.json:2:9: \"date\" is not a date; write it as in \"2031-05-17\"\n");
  CHECK(starts(complaint("{}"), "a.json:1:1: the assignment lacks \"pieces\"; give an assignment: "));
  CHECK(starts(complaint("{\"pieces\": []}"), "a.json:1:12: \"pieces\" has no piece, or too many"));
  CHECK(starts(complaint("{\"pieces\": {}}"), "a.json:1:12: \"pieces\" is an object; "));
  CHECK(starts(complaint("{\"pieces\": [{\"id\": \"a\"}]}"), "a.json:1:13: \"pieces[0]\" lacks \"melody\""));
  CHECK(
      starts(complaint(R"({"pieces": [{"id": "a/b", "melody": "m"}]})"), "a.json:1:20: \"pieces[0].id\" holds one of"));
  CHECK(starts(complaint(R"({"pieces": [{"id": "a", "melody": "m"}, {"id": "A", "melody": "m"}]})"),
               "a.json:1:48: \"pieces[1].id\" is the id of another piece"));
  CHECK(starts(complaint(R"({"pieces": [{"id": "a", "melody": "m", "weight": 0}]})"),
               "a.json:1:50: \"pieces[0].weight\" is 0"));
  CHECK(starts(complaint(R"({"pieces": [{"id": "a", "melody": "m", "match": "{who}"}]})"),
               "a.json:1:49: \"pieces[0].match\" cannot be used: the pattern has no \"{who}\""));
  CHECK(starts(complaint("{" + one_piece + ", \"tries\": \"worst\"}"),
               "a.json:1:64: \"tries\" is \"worst\"; one of last_full, best, mean would be right"));
  CHECK(complaint("{" + one_piece + ", \"title\": null}") != "");
  CHECK(complaint("[]") != "");
  CHECK(starts(complaint("{\"pieces\": [,]}"), "a.json:1:13: this is no JSON"));
  CHECK(starts(complaint(std::string(65, '[')), "a.json:1:65: is nested deeper than 64"));
  CHECK(complaint(std::string((16 << 20) + 1, ' ')).find("larger than 16 MiB") != std::string::npos);
}

TEST_CASE("a rubric whose bands do not rise, or that pays for faults, is refused") {
  CHECK(rubric_complaint("{}") == "");
  const auto bands = [&](const std::string& list) { return rubric_complaint("{\"bands\": [" + list + "]}"); };
  CHECK(bands(R"({"within_cents": 25, "points": 1})") == "");
  CHECK(starts(bands(R"({"within_cents": 25, "points": 1}, {"within_cents": 25, "points": 0.5})"),
               "r.json:1:47: \"bands[1]\" ends at 25 cents, the band before it at 25; let the bands rise"));
  CHECK(bands(R"({"within_cents": 25, "points": 1}, {"within_cents": 50, "points": 2})") != "");
  CHECK(bands(R"({"within_cents": 25, "points": 0})") != "");
  CHECK(bands(R"({"within_cents": -1, "points": 1})") != "");
  CHECK(bands(R"({"within_cents": 25})") != "");
  CHECK(bands("") != "");
  CHECK(rubric_complaint("{\"missing\": 1}") ==
        "r.json:1:13: \"missing\" is 1; a number from -1000 to 0 would be right\n");
  CHECK(rubric_complaint("{\"pass_percent\": 101}") != "");
  CHECK(rubric_complaint("{\"least_judged_share\": 60}") != "");
  CHECK(rubric_complaint("{\"bands\": [{\"within_cents\": 1e999, \"points\": 1}]}") != "");
  CHECK(rubric_complaint("{\"round\": {\"points\": 1}}") != "");
}
