// The page of a take: what it says, in which order, and that it needs nothing else.
#include <doctest/doctest.h>

#include <fstream>
#include <sstream>

#include "base64.hpp"
#include "drawn.hpp"
#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "made_result.hpp"
#include "page_check.hpp"

using namespace firmus;

namespace {

Result a_take() {
  Result result =
      made::take_of({{"C4"}, {"A4", -34, 0.5, "ridge"}, {"G4", 60}, {"E4", 0, 0.5, "", NoteStatus::missing}, {"C4"}});
  result.take.sample_rate_hz = 48000;
  result.take.channels = 2;
  result.signal_quality.snr_db = 41;
  result.signal_quality.warnings = {{RecordingFault::clipping, "3 % of it is clipped", "record further away"}};
  result.trust = {3, 4, 5.0};
  return result;
}

std::string page_of(const Result& result) {
  return take_page(result, take_picture(result), "firmus check NEXT --melody a.melody");
}

}  // namespace

TEST_CASE(
    "the page of a take is whole: well formed, a language, headings in order, texts for pictures, nothing fetched") {
  CHECK(page::faults_of(page_of(a_take())) == std::vector<std::string>{});
  CHECK(page::faults_of(page_of(made::song_of(400))) == std::vector<std::string>{});
}

TEST_CASE("the page of a take has the text of the summary, in its order") {
  const std::string page = page_of(a_take());
  std::size_t at = 0;
  for (const char* words :
       {"A Made Song", "made.wav", "3 % of it is clipped; record further away", "2 of 4 notes in tune",
        "Too short to look for recurring problems", "The 2 notes most out of tune", "Longest", "Not judged",
        "3 of 4 notes are clear enough: measured to within 5 cents", "Pitch over time", "Each note: sharp or flat",
        "Every note", "The recording", "Next", "firmus check NEXT --melody a.melody",
        "style, blue notes, leading notes and vibrato are for the teacher to judge"}) {
    CAPTURE(words);
    const std::size_t next = page.find(words, at);
    if (std::string(words) != "Longest") REQUIRE(next != std::string::npos);
    if (next != std::string::npos) at = next;
  }
}

TEST_CASE("each written note has a row with its figures, and a name for whoever wants to sound it") {
  const auto page = drawn::parsed(page_of(a_take()));
  const auto row = page.select_node("//tr[@id='row-1']").node();
  std::vector<std::string> cells;
  for (const auto& cell : row.children()) cells.push_back(cell.text().as_string());
  CHECK(cells ==
        std::vector<std::string>{"bar 1 beat 2", "A4", "ridge", "A4", "-34", "2.0", "\u25bc flat", "0:01.0", ""});
  CHECK(row.attribute("data-onset-s").as_string() == std::string("1.000"));
  CHECK(row.attribute("data-end-s").as_string() == std::string("1.500"));
  CHECK(row.attribute("data-written-hz").as_double() == doctest::Approx(440).epsilon(1e-5));
  CHECK(page.select_nodes("//tr[@id]").size() == 5);
  CHECK(page.select_node("//tr[@id='row-3']/td[.='missing']"));
}

TEST_CASE("words from outside are text, never markup") {
  Result result = made::take_of({{"C4", 0, 0.5, "<script>x</script>"}, {"D4", 40, 0.5, "\"&'"}});
  result.melody->title = "</title><script>alert(1)</script>";
  result.take.name = "<img src=x onerror=y>.wav";
  const std::string page = page_of(result);
  CHECK(page.find("<script") == page.rfind("<script"));  // the page's own alone
  CHECK(page.find("<img") == std::string::npos);
  CHECK(page::faults_of(page) == std::vector<std::string>{});
}

TEST_CASE("the page of a take that was not measured gives the reason and what helps") {
  Result result;
  result.take.name = "gone.wav";
  result.error = NotMeasured{"missing", "there is no such file", "check the name"};
  const std::string page = take_page(result, take_picture(result), "");
  CHECK(page.find("Not measured") != std::string::npos);
  CHECK(page.find("there is no such file") != std::string::npos);
  CHECK(page.find("check the name") != std::string::npos);
  CHECK(page::faults_of(page) == std::vector<std::string>{});
}

TEST_CASE("without a melody and with another melody the page is whole too") {
  Result result = made::song_of(10);
  result.decision = AlignmentDecision::not_this_melody;
  CHECK(page::faults_of(page_of(result)) == std::vector<std::string>{});
  CHECK(page_of(result).find("No mark: this seems to be another piece") != std::string::npos);
  result.melody.reset();
  CHECK(page::faults_of(page_of(result)) == std::vector<std::string>{});
}

TEST_CASE("the row of a note with a pitch has the times and frequencies to play it, one without a pitch has none") {
  const auto page =
      drawn::parsed(page_of(made::take_of({{"A4", 10, 0.6}, {"C5", 0, 0.5, "", NoteStatus::missing}}, 0, 20)));
  const auto row = page.select_node("//tr[@id='row-0']").node();
  CHECK(row.attribute("data-written-hz").as_double() == doctest::Approx(440).epsilon(1e-5));
  CHECK(row.attribute("data-own-hz").as_double() == doctest::Approx(445.112).epsilon(1e-5));  // 440 * 2^(20/1200)
  CHECK(row.attribute("data-name").as_string() == std::string("A4, bar 1 beat 1"));
  CHECK(page.select_node("//tr[@id='row-1']").node().attribute("data-own-hz").empty());
  CHECK(page.select_nodes("//div[@class='sound'][@hidden]").size() == 1);  // the script shows it
}

TEST_CASE("a page without a note to hear has no script, and no policy that lets one run") {
  Result result;
  result.error = NotMeasured{"missing", "there is no such file", "check the name"};
  const std::string page = take_page(result, take_picture(result), "");
  CHECK(page.find("script") == std::string::npos);
}

TEST_CASE("the policy names the style and the script of the page by their hashes") {
  // RFC 4648, section 10
  CHECK(page::base64_of("") == "");
  CHECK(page::base64_of("f") == "Zg==");
  CHECK(page::base64_of("fo") == "Zm8=");
  CHECK(page::base64_of("foobar") == "Zm9vYmFy");
  // Content Security Policy Level 2, 4.2.5: the script alert('Hello, world.');
  CHECK(page::policy_hash("alert('Hello, world.');") == "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='");
  const std::string html = page_of(a_take());
  const std::size_t from = html.find("<script>") + 8, to = html.find("</script>");
  CHECK(html.find("script-src " + page::policy_hash(html.substr(from, to - from))) != std::string::npos);
  const std::size_t style = html.find("<style>") + 7, style_end = html.find("</style>");
  CHECK(html.find("style-src " + page::policy_hash(html.substr(style, style_end - style))) != std::string::npos);
}

TEST_CASE("the style and the script of a page are the files of the repository, to the byte") {
  const auto file = [](const char* name) {
    std::ostringstream text;
    text << std::ifstream(std::string(FIRMUS_SOURCE_DIR) + "/src/page/" + name, std::ios::binary).rdbuf();
    return text.str();
  };
  const std::string html = page_of(a_take()), style = file("stylesheet.css"), script = file("note_player.js");
  REQUIRE(style.size() > 1000);
  REQUIRE(script.size() > 1000);
  CHECK(html.find("<style>\n" + style + "</style>") != std::string::npos);
  CHECK(html.find("<script>\n" + script + "</script>") != std::string::npos);
}

TEST_CASE("the same take gives the same page") {
  CHECK(page_of(a_take()) == page_of(a_take()));
}
