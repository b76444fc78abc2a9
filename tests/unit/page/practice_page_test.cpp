#include <doctest/doctest.h>

#include "drawn.hpp"
#include "firmus/page.hpp"
#include "made_result.hpp"
#include "page_check.hpp"

using namespace firmus;

namespace {

bool has(const std::string& page, std::string_view part) {
  return page.find(part) != std::string::npos;
}

Practice one_fault() {
  Practice practice;
  practice.range = NoteRange{{'D', 0, 4}, {'D', 0, 5}};
  PracticeFault fault;
  fault.row.group = "interval";
  fault.row.name = "M6";
  fault.row.direction = Direction::up;
  fault.row.mean_cents = -31;
  fault.row.count = fault.row.same_way = 7;
  fault.target = {'B', 0, 4};
  fault.within_cents = Cents(15.5);
  fault.drills = {{"hold", "Hold B4 & <listen>", "Hold it.", "title: x\n\nB4:4 | rest:4 |\nB4:4 |\n"}};
  practice.faults.push_back(fault);
  return practice;
}

}  // namespace

TEST_CASE("the practice page has each drill's notes row by row, its files, and the cautions") {
  const std::string page = practice_page(one_fault());
  const auto parsed = drawn::parsed(page);
  std::string notes;
  for (const auto& text : parsed.select_nodes("//pre//text()")) notes += text.node().value();
  CHECK(notes == "B4:4 | rest:4 |\nB4:4 |\n");
  CHECK_FALSE(has(page, "\\x0A"));
  CHECK(has(page, "How to read the notes"));
  CHECK(has(page, "1-1-hold.melody"));
  CHECK(has(page, "1-1-hold.flac"));
  CHECK(has(page, "Hold B4 &amp; &lt;listen&gt;"));
  CHECK(has(page, "Recurring problem: rising major sixths are 31 cents flat (all 7)."));
  CHECK(has(page, "between D4 and D5"));
  CHECK(has(page, "five target notes in a row (all, where there are fewer) are within 15 cents."));
  CHECK(has(page, "Stop singing at pain or strain"));
}

TEST_CASE("each note of a drill has the data to play it: frequency, start, length, place") {
  Practice practice = one_fault();
  practice.faults[0].drills[0].melody =
      "meter: 4/4\ntempo: 120\na4: 442\n\nA4:2, B4-20 hold | rest:2 A5:2|\nwords: A4 la la\n";
  const auto parsed = drawn::parsed(practice_page(practice));
  const auto notes = parsed.select_nodes("//pre/span");
  REQUIRE(notes.size() == 3);
  const auto of = [&](std::size_t note, const char* name) {
    return std::string((notes.begin() + static_cast<long>(note))->node().attribute(name).value());
  };
  CHECK(of(0, "id") == "drill-1-1-hold-note-0");
  CHECK(of(0, "data-hz") == "442.000");
  CHECK(of(1, "data-hz") == "490.430");  // 442 * 2^((200 - 20) / 1200)
  CHECK(of(1, "data-from-s") == "1.000");
  CHECK(of(1, "data-length-s") == "1.000");  // with what it is held
  CHECK(of(1, "data-name") == "B4-20, bar 1 beat 3");
  CHECK(of(2, "data-from-s") == "3.000");
  CHECK((notes.begin() + 2)->node().text().as_string() == std::string("A5:2"));
  CHECK(parsed.select_nodes("//div[@class='drill'][@data-prefix='drill-1-1-hold-'][@hidden]").size() == 1);
}

namespace {

/// Two places in a take of Monday and one in a take of Tuesday, whose files have the same name; the second fault was
/// met in the Tuesday take alone.
struct FaultPlacesCase {
  Result monday = made::take_of({{"D4", 0}, {"B4", -38}, {"D4", 0}, {"B4", -31, 0.5, "ferry"}}), tuesday = monday;
  Practice practice = one_fault();

  FaultPlacesCase() {
    monday.take.name = tuesday.take.name = "takes/ana & co.wav";
    const std::vector<FaultPlace> places{
        {&monday, &monday.notes[1]}, {&monday, &monday.notes[3]}, {&tuesday, &tuesday.notes[1]}};
    practice.faults[0].places = places;
    practice.faults.push_back(practice.faults[0]);
    practice.faults[1].places = {places[2]};
  }
};

std::string text_of(const pugi::xml_document& page, const char* path) {
  std::string text;
  for (const auto& found : page.select_nodes(path)) text += std::string(found.node().text().as_string()) + "; ";
  return text;
}

}  // namespace

TEST_CASE("a table lists where a fault happened: note, place, cents, time, and the take if there are several") {
  FaultPlacesCase made;
  const std::string page = practice_page(made.practice);
  CHECK(page::faults_of(page).empty());
  const auto parsed = drawn::parsed(page);
  CHECK(text_of(parsed, "//tr[@id='fault-1-row-1']/*") ==
        "B4; bar 1 beat 4, ferry; 31 cents flat; 0:02.0; ana & co.wav; ");
  CHECK(text_of(parsed, "//tr[@id='fault-1-row-2']/*") ==
        "B4; bar 1 beat 2; 38 cents flat; 0:01.0; ana & co.wav (2); ");
  CHECK(text_of(parsed, "//tr[@id='fault-2-row-0']/*") == "B4; bar 1 beat 2; 38 cents flat; 0:01.0; ");
  CHECK(text_of(parsed, "//caption") ==
        "The notes most out of tune, correct and as they were; The note, correct and as it was in ana & co.wav (2); ");
}

TEST_CASE("there is one recording to choose for each take, and each row names its take") {
  FaultPlacesCase made;
  made.monday.context.date = "2031-05-05";
  made.tuesday.context.date = "2031-05-06";
  const auto parsed = drawn::parsed(practice_page(made.practice));
  CHECK(text_of(parsed, "//div[@data-prefix='fault-1-']//label[input]") ==
        "Your recording of ana & co.wav, 2031-05-05 (stays on this computer): ; "
        "Your recording of ana & co.wav, 2031-05-06 (stays on this computer): ; ");
  const auto takes = [&](const char* path) {
    std::string text;
    for (const auto& found : parsed.select_nodes(path)) text += found.node().attribute("data-take").value();
    return text;
  };
  CHECK(takes("//div[@data-prefix='fault-1-']//input") == "12");
  CHECK(takes("//tr[starts-with(@id, 'fault-1-row-')]") == "112");
  CHECK(takes("//div[@data-prefix='fault-2-']//input") == "2");
  CHECK(takes("//tr[starts-with(@id, 'fault-2-row-')]") == "2");
  const auto row = parsed.select_node("//tr[@id='fault-1-row-0']").node();
  CHECK(row.attribute("data-onset-s").as_string() == std::string("1.000"));
  CHECK(row.attribute("data-written-hz").as_string() == std::string("493.883"));  // B4 over A4 = 440
  CHECK(parsed.select_nodes("//script").size() == 1);
}

TEST_CASE("without places there is neither table nor recording to choose") {
  const auto parsed = drawn::parsed(practice_page(one_fault()));
  CHECK(parsed.select_nodes("//table|//input").empty());
}

TEST_CASE("without faults the practice page says that no drills are needed") {
  CHECK(has(practice_page({}), "No drills needed."));
}
