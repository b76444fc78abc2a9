#include "../../../src/cli/values.hpp"

#include <doctest/doctest.h>

#include <array>

#include "firmus/error.hpp"

using namespace firmus;
using namespace firmus::cli;

namespace {

template <class Call>
std::string complaint_of_value(Call call) {
  try {
    call();
  } catch (const InputError& error) {
    return error.what();
  }
  return "no complaint";
}

std::string tolerance(std::string_view text) {
  return complaint_of_value([&] { number_value("--tolerance", text, {0, 100, true}); });
}

}  // namespace

TEST_CASE("numbers are decimal, finite and within the limits") {
  CHECK(number_value("--tolerance", "12.5", {0, 100, true}) == 12.5);
  CHECK(number_value("--tolerance", "100", {0, 100, true}) == 100);
  CHECK(number_value("--require", "0", {0, 100}) == 0);
  CHECK(number_value("--a4", "4.4e2", {300, 600}) == 440);
}

TEST_CASE("what is not a number is told with what would be right") {
  CHECK(tolerance("12,5") == "--tolerance: \"12,5\" is not a number; write 12.5");
  for (const char* text : {"nan", "inf", "-inf", "", " 5", "5 ", "0x10", "five", "+5", "1e999", "5cents"}) {
    CAPTURE(text);
    CHECK(tolerance(text) ==
          "--tolerance: \"" + std::string(text) + "\" is not a number; give a number above 0 and up to 100");
  }
  CHECK(tolerance("0") == "--tolerance: \"0\" is out of range; give a number above 0 and up to 100");
  CHECK(tolerance("-5") == "--tolerance: \"-5\" is out of range; give a number above 0 and up to 100");
  CHECK(tolerance("100.01") == "--tolerance: \"100.01\" is out of range; give a number above 0 and up to 100");
}

TEST_CASE("whole numbers are whole") {
  CHECK(whole_value("--jobs", "256", 1, 256) == 256);
  CHECK(complaint_of_value([] { whole_value("--jobs", "2.5", 1, 256); }) ==
        "--jobs: \"2.5\" is not a whole number; give one from 1 to 256");
  CHECK(complaint_of_value([] { whole_value("--jobs", "0", 1, 256); }) ==
        "--jobs: \"0\" is out of range; give a number from 1 to 256");
  CHECK(complaint_of_value([] { whole_value("--jobs", "257", 1, 256); }) != "no complaint");
}

TEST_CASE("a choice is one of those named") {
  constexpr std::array<std::string_view, 3> choices{"text", "json", "csv"};
  CHECK(choice_value("--format", "csv", choices) == 2);
  CHECK(complaint_of_value([&] { choice_value("--format", "CSV", choices); }) ==
        "--format: \"CSV\" is not known; choose one of text, json, csv");
}

TEST_CASE("a date is a day of the calendar") {
  CHECK(date_value("--date", "2032-02-29") == "2032-02-29");
  for (const char* text :
       {"2031-02-29", "2031-13-01", "2031-1-1", "31-01-2031", "2031/01/01", "", "2031-01-0a", "+031-01-01"}) {
    CAPTURE(text);
    CHECK(complaint_of_value([&] { date_value("--date", text); }) != "no complaint");
  }
}

TEST_CASE("an id can be a file name everywhere") {
  CHECK(id_value("--student", "s-017 b") == "s-017 b");
  CHECK(id_value("--student", "\xc3\x85se") == "\xc3\x85se");
  CHECK(id_value("--student", std::string(64, 'a')) == std::string(64, 'a'));
  for (const std::string& text :
       {std::string(), std::string(65, 'a'), std::string(".a"), std::string("a/b"), std::string("a:b"),
        std::string("a\n"), std::string("a\xff"), std::string("a|b"), std::string("a\\b")}) {
    CAPTURE(text);
    CHECK(complaint_of_value([&] { id_value("--student", text); }) != "no complaint");
  }
}

TEST_CASE("a path is not empty") {
  CHECK(path_value("--out", "-") == "-");
  CHECK(complaint_of_value([] { path_value("--melody", ""); }) ==
        "--melody: the name is empty; give the name of a file or folder");
}
