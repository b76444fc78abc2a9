#include <doctest/doctest.h>

#include "firmus/studio.hpp"
#include "refusals.hpp"

using namespace firmus;
using firmus::testing::refusal;

namespace {
using Ids = std::vector<std::string>;
std::string roster_refusal(const std::string& csv) {
  return refusal([&] { return read_roster(csv, "class.csv"); });
}
std::string first_line(const std::string& lines) {
  return lines.substr(0, lines.find('\n'));
}
}  // namespace

TEST_CASE("a roster is the column student, whatever stands beside it") {
  CHECK(read_roster("student\nana\nben\n", "r") == Ids{"ana", "ben"});
  CHECK(read_roster("name;Student;born\r\nAna A.;ana;2015\r\n;s-02\r\n", "r") == Ids{"ana", "s-02"});
  CHECK(read_roster("\xEF\xBB\xBFstudent\tname\nana\t\xE4\xF6\n", "r") == Ids{"ana"});  // a name in Latin-1
  CHECK(read_roster("student\n\"a, b\"\n", "r") == Ids{"a, b"});
  CHECK(read_roster("\n\nstudent\n\nana\n", "r") == Ids{"ana"});
  CHECK(read_roster("Name,born\nana,2015\n", "r") == Ids{"ana"});
  CHECK(read_roster("Pupil\nana\nben\n", "r") == Ids{"ana", "ben"});
}

TEST_CASE("what is wrong with a roster is told with its place") {
  CHECK(first_line(roster_refusal("pupil,born\nana,2015\n")) ==
        "class.csv:1:1: no column is called \"student\"; write the names of the columns into the first line, "
        "\"student\" among them");
  CHECK(roster_refusal("student\n") == "class.csv: has no student; write an id into each row\n");
  CHECK(roster_refusal("") != "");
  CHECK(first_line(roster_refusal("student\na/b\n")) ==
        "class.csv:2:1: the id \"a/b\" holds one of / \\ : * ? \" < > |; give 1 to 64 bytes of UTF-8 without these, "
        "such as s-01");
  CHECK(first_line(roster_refusal("name,student\nx,ana\ny,Ana\n")) ==
        "class.csv:3:3: the id \"Ana\" is that of line 2 too; give every student an id of their own; capitals do not "
        "count");
  CHECK(first_line(roster_refusal("student,student\na,b\n")) ==
        "class.csv:1:9: a second column is called \"student\"; rename one of them");
  const std::string two = roster_refusal("student\n.ana\n" + std::string(65, 'x') + "\n");
  CHECK(two.find("class.csv:2:1: the id \".ana\" begins with a dot") == 0);
  CHECK(two.find("class.csv:3:1: ") != std::string::npos);
}

TEST_CASE("an id must do as the name of a file that is not ours already") {
  CHECK(fault_of_id("ana") == "");
  CHECK(fault_of_id("\xC3\xA4nne s-01") == "");
  CHECK(fault_of_id(std::string(64, 'a')) == "");
  CHECK(fault_of_id("") == "is empty");
  CHECK(fault_of_id(std::string(65, 'a')) == "is longer than 64 bytes");
  CHECK(fault_of_id("\xE4") == "holds control characters or is not UTF-8");
  CHECK(fault_of_id("a\tb") == "holds control characters or is not UTF-8");
  CHECK(fault_of_id("..") == "begins with a dot");
  for (const char* id : {"a/b", "a\\b", "a:b", "a*", "a?", "a\"", "<a", "a>", "a|b"}) CHECK(fault_of_id(id) != "");
  for (const char* id : {"class", "Gradebook", "private", "results", "written", "failures", "marks"})
    CHECK(fault_of_id(id) == "is the name of a file that every assignment writes");
}

TEST_CASE("overrides name a student, a piece and a mark, and a note by its index") {
  const std::vector<Piece> pieces{{"kite", "k", {}, 1, {}, {}}, {"mill", "m", {}, 1, {}, {}}};
  const Ids students{"ana", "ben"};
  const auto read = [&](const std::string& csv) { return read_overrides(csv, "o.csv", students, pieces, 1.0); };
  const auto overrides =
      read("student,piece,index,mark,reason\nana,kite,,88.5,\"blue note, meant\"\nben,mill,3,0.5,\n");
  REQUIRE(overrides.size() == 2);
  CHECK((overrides[0].student == "ana" && overrides[0].piece == "kite" && !overrides[0].index));
  CHECK((overrides[0].mark == 88.5 && overrides[0].reason == "blue note, meant"));
  CHECK((overrides[1].index == 3 && overrides[1].mark == 0.5));
  const auto complaint = [&](const std::string& row) {
    return refusal([&] { return read("student,piece,index,mark,reason\n" + row); });
  };
  CHECK(complaint("cleo,kite,,80,").find("o.csv:2:1: \"cleo\" is not a student of this class") == 0);
  CHECK(complaint("ana,barn,,80,").find("o.csv:2:5: \"barn\" is not a piece") == 0);
  CHECK(complaint("ana,kite,x,1,").find("o.csv:2:10: \"x\" is not a written note") == 0);
  CHECK(complaint("ana,kite,,101,") == "o.csv:2:11: the mark \"101\" is not right; give a percentage from 0 to 100\n");
  CHECK(complaint("ana,kite,2,1.5,") == "o.csv:2:12: the mark \"1.5\" is not right; give points from 0 to 1\n");
  for (const char* mark : {"", "nan", "inf", "8,5", "-1", "0x10"})
    CHECK(complaint("ana,kite,,\"" + std::string(mark) + "\",r") != "");
  CHECK(complaint("ana,kite,,80,\nana,kite,,81,").find("o.csv:3:1: this mark is given twice") == 0);
  CHECK(refusal([&] { return read("student,piece\nana,kite\n"); }).find("no column is called \"mark\"") !=
        std::string::npos);
  const std::vector<Piece> one{{"kite", "k", {}, 1, {}, {}}};
  CHECK(read_overrides("student,mark\nana,70\n", "o", students, one, 1.0)[0].piece == "kite");
}
