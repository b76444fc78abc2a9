// How a student gets on: charts of figures and habits over the weeks.
#include <doctest/doctest.h>

#include "drawn.hpp"
#include "firmus/picture.hpp"
#include "made_trend.hpp"
#include "panel.hpp"

using namespace firmus;

namespace {

pugi::xml_node trend_node(const pugi::xml_document& svg, const std::string& path) {
  return svg.select_node(path.c_str()).node();
}

}  // namespace

TEST_CASE("trend: every text has its room, from 2 dates to 60") {
  for (const int dates : {2, 3, 9, 60}) {
    CAPTURE(dates);
    const auto svg = drawn::parsed(trend_picture(made::student_of("s-01", dates)));
    CHECK(drawn::overlapping(drawn::texts_of(svg)) == std::vector<std::string>{});
    CHECK(drawn::cut_off(svg) == std::vector<std::string>{});
  }
}

TEST_CASE("trend: each figure and each habit has its chart, with its first and its last date") {
  const auto svg = drawn::parsed(trend_picture(made::student_of("s-01", 9)));
  for (const char* title : {"Average error, cents", "Notes in tune, percent", "Variation, cents", "Mean error, cents",
                            "Your A, against concert pitch, cents", "Pitch drift, cents per minute",
                            "rising major sixths, cents", "rising minor seconds, cents"})
    CHECK(trend_node(svg, std::string("//text[.='") + title + "']"));
  CHECK(svg.select_nodes("//text[.='2031-01-01']").size() == 8);
  CHECK(svg.select_nodes("//text[.='2031-03-01']").size() == 8);
}

TEST_CASE("trend: points are drawn at their dates and values, a missing value is left out") {
  const auto svg = drawn::parsed(trend_picture(made::student_of("s-01", 5)));
  std::vector<double> x, y;
  for (const auto& mark : svg.select_nodes("//g[title[contains(., ' percent')]]/circle")) {
    x.push_back(mark.node().attribute("cx").as_double());
    y.push_back(mark.node().attribute("cy").as_double());
  }
  REQUIRE(x.size() == 5);
  for (std::size_t i = 1; i < 5; ++i) {
    CHECK(x[i] - x[i - 1] == doctest::Approx((x[4] - x[0]) / 4).epsilon(0.01));
    CHECK(y[i] - y[i - 1] == doctest::Approx((y[4] - y[0]) / 4).epsilon(0.03));  // a thirtieth more each week
    CHECK(y[i] < y[i - 1]);
  }
  CHECK(svg.select_nodes("//g[title[contains(., 'cents per minute')]]").size() == 4);
}

TEST_CASE("trend: a habit points the way it is off") {
  const auto svg = drawn::parsed(trend_picture(made::student_of("s-01", 4)));
  CHECK(svg.select_nodes("//g[title]/path[@fill='#1f5fbf']").size() >= 4);  // the flat sixths
  CHECK(svg.select_nodes("//g[title]/path[@fill='#b8500a']").size() >= 4);  // the sharp seconds
}

TEST_CASE("trend: one date tells nothing; a class has one picture after the other under its name") {
  CHECK(trend_picture(made::student_of("s-01", 1)).empty());
  Trend trend;
  trend.students = {made::student_of("s-01", 4), made::student_of("<s> & 02", 4), made::student_of("s-03", 1)};
  const auto svg = drawn::parsed(trend_picture(trend));
  CHECK(drawn::overlapping(drawn::texts_of(svg)) == std::vector<std::string>{});
  CHECK(drawn::cut_off(svg) == std::vector<std::string>{});
  CHECK(trend_node(svg, "//text[.='<s> & 02']"));
  CHECK(trend_node(svg, "//text[.='s-03']").empty());
}

TEST_CASE("a chart of equal values, of one value and of none still has an axis") {
  for (const auto& values :
       {std::vector<std::optional<double>>{5.0, 5.0}, {7.0, std::nullopt}, {std::nullopt, std::nullopt}}) {
    picture::Svg svg;
    picture::Panel panel{"Figure", "cents", {0, 1}, values, {"one", "two"}, {}, {}, false};
    picture::draw_panel(svg, panel, 0, 0, 300);
    const auto drawn = drawn::parsed(svg.finish(300, 200, "x", "t", "d"));
    CHECK(drawn.select_nodes("//text").size() >= 4);
    CHECK(svg.finish(300, 200, "x", "t", "d").find("nan") == std::string::npos);
  }
}
