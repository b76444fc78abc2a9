#include "group_names.hpp"

#include <doctest/doctest.h>

using namespace firmus;
using namespace firmus::habits;

namespace {

std::string joined(const std::vector<GroupName>& names) {
  std::string text;
  for (const GroupName& name : names) text += (text.empty() ? "" : ", ") + full_name(name);
  return text;
}

}  // namespace

TEST_CASE("each written note has its names") {
  const Melody melody =
      read_melody("key: G major\nmeter: 4/4\nG4 B4 B4 A4 , | F4:2 E5:2 | D4:0 G4 A4 A#4 B4 |\n", "names");
  const auto names = group_names(melody);
  REQUIRE(names.size() == melody.notes.size());
  CHECK(joined(names[0]) == "place first, degree 1, note G4, spot bar 1 beat 1, register low");
  CHECK(joined(names[1]) ==
        "interval M3 up, approach leap, line rising, degree 3, note B4, spot bar 1 beat 2, register middle");
  CHECK(joined(names[2]) == "interval P1 same, approach repeat, degree 3, note B4, spot bar 1 beat 3, register middle");
  CHECK(joined(names[3]) ==
        "interval M2 down, approach step, line falling, place last, degree 2, note A4, spot bar 1 beat 4, register "
        "middle");
  CHECK(joined(names[4]) ==
        "interval M3 down, approach leap, line falling, place first, degree lowered 7, note F4, spot bar 2 beat 1, "
        "length long, register low");
  CHECK(joined(names[5]) ==
        "interval M7 up, approach leap, line rising, degree 6, note E5, spot bar 2 beat 3, length long, register high");
  CHECK(names[6].empty());  // a grace note
  CHECK(joined(names[7]).starts_with("interval M6 down, approach leap"));
  CHECK(joined(names[9]).starts_with("interval A1 up, approach step, line rising, degree raised 2, note A#4"));
}

TEST_CASE("without phrases, bars and range there are no such names") {
  const auto names = group_names(read_melody("C4 C4 C4\n", "plain"));
  CHECK(joined(names[0]) == "note C4, spot note 1");
  CHECK(joined(names[1]) == "interval P1 same, approach repeat, note C4, spot note 2");
}
