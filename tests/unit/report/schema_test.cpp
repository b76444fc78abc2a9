// The schemas are made from the tables of fields; files of the repository hold them, so that no change goes unseen.
#include <doctest/doctest.h>

#include <fstream>
#include <iterator>
#include <string>

#include "firmus/report.hpp"

using namespace firmus;

namespace {

std::string golden(const std::string& name) {
  std::ifstream file(std::string(FIRMUS_SOURCE_DIR) + "/tests/golden/" + name, std::ios::binary);
  REQUIRE_MESSAGE(file, "tests/golden/" << name << " is missing");
  return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("the schema of a take is the one that is held in tests/golden") {
  CHECK(json_schema() == golden("take.schema.json"));
}

TEST_CASE("the schema of a trend is the one that is held in tests/golden") {
  CHECK(trend_json_schema() == golden("trend.schema.json"));
}
