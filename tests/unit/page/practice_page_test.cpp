#include <doctest/doctest.h>

#include "firmus/page.hpp"

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
  fault.drills = {{"hold", "Hold B4 & <listen>", "Hold it.", "title: x\n\nB4:4 | rest:4 |\nB4:4 |\n"}};
  practice.faults.push_back(fault);
  return practice;
}

}  // namespace

TEST_CASE("the practice page has each drill's notes row by row, its files, and the cautions") {
  const std::string page = practice_page(one_fault());
  CHECK(has(page, "<pre>B4:4 | rest:4 |\nB4:4 |\n</pre>"));
  CHECK_FALSE(has(page, "\\x0A"));
  CHECK(has(page, "1-1-hold.melody"));
  CHECK(has(page, "1-1-hold.flac"));
  CHECK(has(page, "Hold B4 &amp; &lt;listen&gt;"));
  CHECK(has(page, "What keeps coming flat: rising major sixths (31 cents on average, 7 of 7 times)."));
  CHECK(has(page, "between D4 and D5"));
  CHECK(has(page, "Stop singing at pain or strain"));
}

TEST_CASE("where nothing stands out the practice page says so") {
  CHECK(has(practice_page({}), "Nothing stands out"));
}
