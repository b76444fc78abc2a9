// The take over time: positions in the drawing agree with the measured values.
#include <doctest/doctest.h>

#include <sstream>

#include "drawn.hpp"
#include "firmus/picture.hpp"
#include "made_result.hpp"

using namespace firmus;

namespace {

double number(const pugi::xml_node& node, const char* name) {
  return node.attribute(name).as_double();
}

pugi::xml_node note_group(const pugi::xml_document& svg, int index) {
  return svg.select_node(("//g[@id='note-" + std::to_string(index) + "']").c_str()).node();
}

/// y of the sung pitch's path at its point nearest to x.
double sung_y(const pugi::xml_document& svg, double x) {
  double best = 1e9, y = 0;
  for (const auto& found : svg.select_nodes("//path[@stroke-width='1.5']")) {
    std::string data = found.node().attribute("d").as_string();
    for (char& c : data)
      if (c == 'M' || c == 'L') c = ' ';
    std::istringstream points(data);
    for (double px = 0, py = 0; points >> px >> py;)
      if (std::abs(px - x) < best) best = std::abs(px - x), y = py;
  }
  return y;
}

constexpr double px_per_semitone = 18;  // of a melody within an octave

}  // namespace

TEST_CASE("every text has its room at 10 and at 400 notes: none overlaps, none is cut off") {
  for (const int count : {1, 10, 60, 400}) {
    CAPTURE(count);
    const auto svg = drawn::parsed(take_picture(made::song_of(count)));
    CHECK(drawn::overlapping(drawn::texts_of(svg)) == std::vector<std::string>{});
    CHECK(drawn::cut_off(svg) == std::vector<std::string>{});
  }
}

TEST_CASE("every written note is drawn once, with its name above and its word below") {
  const auto svg = drawn::parsed(take_picture(made::song_of(400)));
  for (int i = 0; i < 400; ++i)
    REQUIRE(svg.select_nodes(("//g[@id='note-" + std::to_string(i) + "']").c_str()).size() == 1);
  int names = 0, words = 0;
  for (const drawn::Text& text : drawn::texts_of(svg)) {
    names += text.words == "F#4" ? 1 : 0;  // on the axis too
    words += text.words == "wintry" ? 1 : 0;
  }
  CHECK(names >= 40);
  CHECK(words == 28);  // of 400 notes each fourteenth has this word, from the tenth on
}

TEST_CASE("a note sung 30 cents sharp is drawn 30 cents above its step") {
  const auto svg = drawn::parsed(take_picture(made::take_of({{"C4"}, {"G4", 30}, {"C5", -50}, {"C4"}})));
  for (const auto& [index, cents] : {std::pair{0, 0.0}, {1, 30.0}, {2, -50.0}}) {
    CAPTURE(index);
    const auto step = note_group(svg, index).child("line");
    const double middle = (number(step, "x1") + number(step, "x2")) / 2;
    CHECK(sung_y(svg, middle) == doctest::Approx(number(step, "y1") - cents / 100 * px_per_semitone).epsilon(0.002));
  }
}

TEST_CASE("the step line is moved to the key, the octave and the centre that were sung") {
  const auto svg = drawn::parsed(take_picture(made::take_of({{"C4"}, {"G4"}, {"C5"}}, -9, 40)));
  for (int index = 0; index < 3; ++index) {
    const auto step = note_group(svg, index).child("line");
    CHECK(sung_y(svg, (number(step, "x1") + number(step, "x2")) / 2) ==
          doctest::Approx(number(step, "y1")).epsilon(0.002));
  }
}

TEST_CASE("against concert pitch the step line stays where it is written") {
  Result result = made::take_of({{"C4"}, {"G4"}, {"C5"}}, 0, 40);
  result.settings.reference = Reference::concert;
  const auto svg = drawn::parsed(take_picture(result));
  const auto step = note_group(svg, 1).child("line");
  CHECK(sung_y(svg, (number(step, "x1") + number(step, "x2")) / 2) ==
        doctest::Approx(number(step, "y1") - 0.4 * px_per_semitone).epsilon(0.002));
}

TEST_CASE("the band is the tolerance either way") {
  Result result = made::take_of({{"C4"}, {"G4"}});
  result.settings.tolerance_cents = Cents(40);
  const auto svg = drawn::parsed(take_picture(result));
  CHECK(number(note_group(svg, 0).child("rect"), "height") == doctest::Approx(0.8 * px_per_semitone).epsilon(0.01));
}

TEST_CASE("sharp is orange and points up, flat is blue and points down") {
  const auto svg = drawn::parsed(take_picture(made::take_of({{"C4"}, {"G4", 33}, {"C5", -44}, {"C4"}})));
  const auto mark_beside = [&](const char* figure) {
    const auto text = svg.select_node((std::string("//text[.='") + figure + "']").c_str()).node();
    return std::pair{text.previous_sibling(), text};
  };
  const auto [up, sharp] = mark_beside("33");
  CHECK(sharp.attribute("fill").as_string() == std::string("#b8500a"));
  CHECK(up.attribute("fill").as_string() == std::string("#b8500a"));
  CHECK(std::string(up.attribute("d").as_string()).ends_with("-6.8z"));  // from the base up to the tip
  const auto [down, flat] = mark_beside("44");
  CHECK(flat.attribute("fill").as_string() == std::string("#1f5fbf"));
  CHECK(down.attribute("fill").as_string() == std::string("#1f5fbf"));
  CHECK(std::string(down.attribute("d").as_string()).ends_with(" 6.8z"));
}

TEST_CASE("a note tells whoever wants to sound it when it is and which frequency is written") {
  const auto svg = drawn::parsed(take_picture(made::take_of({{"A4", 10, 0.6}}, 0, 20)));
  const auto note = note_group(svg, 0);
  CHECK(number(note, "data-onset-s") == 0.5);
  CHECK(number(note, "data-end-s") == 1.1);
  CHECK(number(note, "data-written-hz") == doctest::Approx(440).epsilon(1e-5));
  CHECK(number(note, "data-own-hz") == doctest::Approx(445.112).epsilon(1e-5));  // 440 * 2^(20/1200)
}

TEST_CASE("missing notes are marked where they are missed") {
  const auto svg = drawn::parsed(take_picture(made::take_of(
      {{"C4"}, {"D4", 0, 0.5, "", NoteStatus::missing}, {"E4", 0, 0.5, "", NoteStatus::missing}, {"F4"}})));
  const auto text = svg.select_node("//text[.='2 missing']").node();
  REQUIRE(text);
  CHECK(note_group(svg, 1).empty());
  CHECK(number(text, "x") > number(note_group(svg, 0).child("line"), "x2"));
}

TEST_CASE("of another melody only what was sung is drawn") {
  Result result = made::song_of(10);
  result.decision = AlignmentDecision::not_this_melody;
  const auto svg = drawn::parsed(take_picture(result));
  CHECK(svg.select_nodes("//g[@id]").empty());
  CHECK(std::string(svg.child("svg").child("desc").text().as_string()).find("not the written melody") !=
        std::string::npos);
}

TEST_CASE("without a melody the nearest notes are drawn") {
  Result result = made::take_of({{"C4", 12}, {"E4", -20}});
  result.melody.reset();
  for (NoteResult& note : result.notes) {
    note.index.reset();
    note.written.reset();
    note.status = NoteStatus::extra;
    note.verdict.reset();
  }
  const auto svg = drawn::parsed(take_picture(result));
  CHECK(svg.select_nodes("//text[.='E4']").size() >= 2);
  CHECK(svg.select_nodes("//g/line").size() == 2);
}

TEST_CASE("words and titles are escaped, whatever is in them") {
  Result result = made::take_of({{"C4", 0, 0.5, "<b>&\"'"}, {"D4", 0, 0.5, "caf\xe9\x01"}});
  result.melody->title = "Fox & <i>Hen</i> \"x\"";
  const std::string picture = take_picture(result);
  const auto svg = drawn::parsed(picture);
  CHECK(svg.select_node("//text[.='<b>&\"&apos;']").node().empty());
  bool word = false, stray = false;
  for (const drawn::Text& text : drawn::texts_of(svg)) {
    word = word || text.words == "<b>&\"'";
    stray = stray || text.words == "caf\\xE9\\x01";
  }
  CHECK(word);
  CHECK(stray);
  CHECK(std::string(svg.child("svg").child("title").text().as_string()) == "Pitch over time: Fox & <i>Hen</i> \"x\"");
}

TEST_CASE("the text alternative tells what is seen") {
  const auto svg = drawn::parsed(take_picture(made::take_of({{"C4"}, {"G4", 33, 0.5, "sun"}, {"C5", -44}, {"C4"}})));
  CHECK(svg.child("svg").attribute("role").as_string() == std::string("img"));
  CHECK(svg.child("svg").attribute("aria-labelledby").as_string() == std::string("take-title take-desc"));
  CHECK(
      svg.child("svg").child("desc").text().as_string() ==
      std::string("The sung pitch from 0:00 to 0:03, as a line over the written melody, drawn as steps with a band of "
                  "25 cents either way. 2 of 4 notes in tune. Off: G4, bar 1 beat 2, sun: 33 cents sharp, at 0:01.0; "
                  "C5, bar 1 beat 3: 44 cents flat, at 0:01.5."));
}

TEST_CASE("the picture of a take that was not measured gives the reason") {
  Result result;
  result.error = NotMeasured{"silence", "no pitched sound was found <here>", "record again"};
  const auto svg = drawn::parsed(take_picture(result));
  CHECK(drawn::texts_of(svg).at(0).words == "Not measured: no pitched sound was found <here>");
}

TEST_CASE("the same take gives the same bytes") {
  CHECK(take_picture(made::song_of(60)) == take_picture(made::song_of(60)));
}
