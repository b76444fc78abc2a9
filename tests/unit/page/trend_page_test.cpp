#include <doctest/doctest.h>

#include "drawn.hpp"
#include "firmus/page.hpp"
#include "made_trend.hpp"
#include "page_check.hpp"

using namespace firmus;

namespace {

Trend trend_with(std::vector<StudentTrend> students) {
  Trend trend;
  trend.students = std::move(students);
  return trend;
}

}  // namespace

TEST_CASE("the page of a student's weeks has the words, the pictures and the dates") {
  const std::string html = trend_page(trend_with({made::student_of("s-01", 6)}));
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  std::size_t at = 0;
  for (const char* words : {"Progress: s-01", "6 recordings on 6 dates, 2031-01-01 to 2031-02-08",
                            "verage error 30 cents at first", "<svg", "Recurring problems", "ising major sixths",
                            "Date by date", "2031-02-08", "67 %", "style, blue notes, leading notes and vibrato"}) {
    CAPTURE(words);
    at = html.find(words, at);
    REQUIRE(at != std::string::npos);
  }
}

TEST_CASE("the page of a student's weeks tells the drills apart, what is done and date by date") {
  StudentTrend student = made::student_of("s-01", 6);
  TrendDrills drills;
  drills.aim = {"interval", "M6", Direction::up, true, {}};
  drills.points = {{"2031-01-08", "Hold <A4>", {"a.json"}, 4, 4, 1, 1, -31.0, false},
                   {"2031-01-15", "Hold <A4>", {"b.json"}, 4, 4, 4, 4, -7.0, true}};
  drills.states = {{"Hold <A4>", DrillState::once}};
  drills.first_cents = -31, drills.last_cents = -7;
  student.drills = {drills};
  const std::string html = trend_page(trend_with({student}));
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  std::size_t at = html.find("Date by date");
  for (const char* words :
       {"Drills: flat rising major sixths", "31 cents flat on average at first (2031-01-08), 7 cents",
        "repeat it on another day", "The drills date by date", "Hold &lt;A4", "1 of 4", "no", "4 of 4", "-7", "yes"}) {
    CAPTURE(words);
    at = html.find(words, at);
    REQUIRE(at != std::string::npos);
  }
}

TEST_CASE("the page of a class begins with its table, each name leading to its part") {
  const std::string html =
      trend_page(trend_with({made::student_of("s-01", 6), made::student_of("<b>", 6), made::student_of("s-03", 1)}));
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  const auto page = drawn::parsed(html);
  CHECK(page.select_nodes("//table[1]/tbody/tr/th/a").size() == 3);
  for (const auto& link : page.select_nodes("//table/tbody/tr/th/a")) {
    const std::string id = std::string(link.node().attribute("href").as_string()).substr(1);
    CHECK(page.select_node(("//h2[@id='" + id + "']").c_str()).node().text().as_string() ==
          std::string(link.node().text().as_string()));
  }
  CHECK(html.find("Problems shared by several students") != std::string::npos);
  CHECK(html.find("<b>") == std::string::npos);
}

TEST_CASE("a student whose takes all were left out, and a trend of nobody, have a page too") {
  StudentTrend nothing;
  nothing.student = "s-09";
  nothing.left_out = {{"a.json", TrendLeftOut::Reason::not_measured, "no such file"}};
  const std::string html = trend_page(trend_with({nothing}));
  CHECK(page::faults_of(html) == std::vector<std::string>{});
  CHECK(html.find("a.json: not measured: no such file") != std::string::npos);
  CHECK(page::faults_of(trend_page({})) == std::vector<std::string>{});
}
