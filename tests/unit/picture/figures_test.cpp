// Cents off by note, tendencies, and pictures as parts of pages.
#include <doctest/doctest.h>

#include "drawn.hpp"
#include "firmus/picture.hpp"
#include "made_result.hpp"
#include "theme.hpp"

using namespace firmus;

namespace {

HabitRow habit(const char* group, const char* name, std::optional<HabitDecision> decision, double mean, double half) {
  HabitRow row;
  row.decision = decision;
  row.group = group;
  row.name = name;
  row.count = row.same_way = 7;
  row.mean_cents = mean;
  row.ci95_cents = {mean - half, mean + half};
  return row;
}

Result with_habits() {
  Result result = made::song_of(20);
  result.habits = {habit("interval", "M6", HabitDecision::chronic, -31, 5),
                   habit("degree", "3", HabitDecision::leaning, 12, 10),
                   habit("register", "middle", std::nullopt, 2, 6)};
  result.habits[0].direction = Direction::up;
  return result;
}

pugi::xml_node node(const pugi::xml_document& svg, const std::string& path) {
  return svg.select_node(path.c_str()).node();
}

std::string numbers_of(const std::string& inlined) {
  int open = 0;
  for (std::size_t at = inlined.find("<svg "); at != std::string::npos; at = inlined.find("<svg ", at + 1)) ++open;
  return std::to_string(open);
}

}  // namespace

TEST_CASE("cents off: every text has its room at 1, 10 and 400 notes") {
  for (const int count : {1, 10, 31, 400}) {
    CAPTURE(count);
    const auto svg = drawn::parsed(cents_picture(made::song_of(count)));
    CHECK(drawn::overlapping(drawn::texts_of(svg)) == std::vector<std::string>{});
    CHECK(drawn::cut_off(svg) == std::vector<std::string>{});
  }
}

TEST_CASE("cents off: a note is drawn at its error, its whisker reaches one standard error either way") {
  Result result = made::take_of({{"C4", 0}, {"E4", 40}, {"G4", -40}});
  for (NoteResult& note : result.notes) note.se_cents = 5;
  const auto svg = drawn::parsed(cents_picture(result));
  // 60 px for 50 cents on either side
  const auto stem = node(svg, "//g[title[contains(., 'E4')]]/line[1]");
  const double middle = stem.attribute("y1").as_double();
  CHECK(middle - stem.attribute("y2").as_double() == doctest::Approx(48).epsilon(0.01));
  const auto whisker = node(svg, "//g[title[contains(., 'E4')]]/line[2]");
  CHECK(middle - whisker.attribute("y1").as_double() == doctest::Approx(54).epsilon(0.01));
  CHECK(middle - whisker.attribute("y2").as_double() == doctest::Approx(42).epsilon(0.01));
  CHECK(svg.select_nodes("//text[.='40']").size() == 2);
  const auto band = node(svg, "//rect[@fill='#e3e5e8'][@height='60']");  // 25 cents either way
  CHECK(band);
}

TEST_CASE("cents off: what is beyond the edge keeps its figure") {
  std::vector<made::MadeNote> notes(40, {"E4", 180});
  notes[5].own_cents = notes[6].own_cents = -1210;
  const auto svg = drawn::parsed(cents_picture(made::take_of(notes)));
  CHECK(svg.select_nodes("//text[.='180']").size() == 38);
  CHECK(svg.select_nodes("//text[.='1210']").size() == 2);
  CHECK(drawn::overlapping(drawn::texts_of(svg)) == std::vector<std::string>{});
  CHECK(drawn::cut_off(svg) == std::vector<std::string>{});
}

TEST_CASE("cents off: nothing where nothing was judged") {
  Result result = made::song_of(10);
  result.decision = AlignmentDecision::not_this_melody;
  CHECK(cents_picture(result).empty());
}

TEST_CASE("tendencies: a row is drawn at its mean, over its interval, with a shape for sharp and for flat") {
  const auto svg = drawn::parsed(tendency_picture(with_habits()));
  CHECK(drawn::overlapping(drawn::texts_of(svg)) == std::vector<std::string>{});
  CHECK(drawn::cut_off(svg) == std::vector<std::string>{});
  // From -40 to +40 cents over 440 px: 5.5 px a cent, 0 at 520.
  const auto line = node(svg, "//g[title[contains(., 'rising major sixths')]]/line[1]");
  CHECK(line.attribute("x1").as_double() == doctest::Approx(520 - 36 * 5.5).epsilon(0.001));
  CHECK(line.attribute("x2").as_double() == doctest::Approx(520 - 26 * 5.5).epsilon(0.001));
  const auto mark = node(svg, "//g[title[contains(., 'rising major sixths')]]/path");
  CHECK(mark.attribute("fill").as_string() == std::string("#1f5fbf"));
  const auto leaning = node(svg, "//g[title[contains(., 'the 3rd of the scale')]]/path");
  CHECK(leaning.attribute("fill").as_string() == std::string("#ffffff"));  // hollow: not sure yet
  CHECK(node(svg, "//g[title[contains(., 'middle of the range')]]/circle"));
  const std::string description = svg.child("svg").child("desc").text().as_string();
  CHECK(description.find("recurring, rising major sixths: 31 cents flat, between -36 and -26") != std::string::npos);
}

TEST_CASE("tendencies: nothing where no group has an interval") {
  CHECK(tendency_picture(made::song_of(10)).empty());
}

TEST_CASE("on a page the ids of a picture begin with its prefix, and rows can be parted") {
  const Result result = made::song_of(100);
  const std::string picture = take_picture(result), inlined = as_inline_svg(picture, "p2-");
  const auto page = drawn::parsed("<div>" + inlined + "</div>");
  CHECK(page.select_nodes("//*[@id]").size() == 102);  // notes, title, description
  for (const auto& found : page.select_nodes("//*[@id]"))
    CHECK(std::string(found.node().attribute("id").as_string()).starts_with("p2-"));
  const auto first = page.child("div").child("svg");
  CHECK(first.attribute("aria-labelledby").as_string() == std::string("p2-take-title p2-take-desc"));
  CHECK(numbers_of(inlined) != "1");
  double height = 0;
  for (const auto& svg : page.child("div").children("svg")) height += svg.attribute("height").as_double();
  const auto whole = drawn::parsed(picture);
  CHECK(height == doctest::Approx(whole.child("svg").attribute("height").as_double()).epsilon(0.001));
  CHECK(page.select_nodes("//svg[@role='img']").size() == 1);
  CHECK(page.select_nodes("//svg[@aria-hidden='true']").size() + 1 == page.select_nodes("//svg").size());
}

TEST_CASE("what is no picture is put on no page") {
  CHECK(as_inline_svg("", "a-").empty());
  CHECK(as_inline_svg("<svg broken", "a-").empty());
}

TEST_CASE(
    "colours stand out from white: texts 4.5 to 1, lines that carry meaning 3 to 1 (WCAG 2.1, 1.4.3 and 1.4.11)") {
  CHECK(drawn::contrast("#000000", "#ffffff") == doctest::Approx(21));
  CHECK(drawn::contrast("#777777", "#ffffff") == doctest::Approx(4.48).epsilon(0.01));
  using namespace picture;
  for (const std::string_view colour : {ink, muted_ink, sharp_line, flat_line})
    CHECK(drawn::contrast(std::string(colour), "#ffffff") >= 4.5);
  CHECK(drawn::contrast(std::string(written_line), "#ffffff") >= 3);
  for (const std::string_view band : {sharp_band, flat_band, tune_band})
    CHECK(drawn::contrast(std::string(ink), std::string(band)) >= 4.5);
}
