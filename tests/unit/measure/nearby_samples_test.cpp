#include "../../../src/measure/nearby_samples.hpp"

#include <doctest/doctest.h>

#include <utility>
#include <vector>

using namespace firmus;

TEST_CASE("Samples near and far, before and after, are those of the take") {
  std::vector<float> values(20000);
  for (std::size_t i = 0; i < values.size(); ++i) values[i] = static_cast<float>(i + 1);
  const Samples samples(values);
  measure::NearbySamples near(samples);
  // forward, a little back, far forward, past the end, far back, before the take, longer than the buffer, empty
  for (const auto& [begin, count] : {std::pair<int, int>{100, 50},
                                     {140, 50},
                                     {90, 20},
                                     {15000, 300},
                                     {19990, 40},
                                     {13000, 10},
                                     {-20, 30},
                                     {0, 9000},
                                     {500, 0}}) {
    const auto read = near.read(begin, static_cast<std::size_t>(count));
    REQUIRE(read.size() == static_cast<std::size_t>(count));
    int wrong = 0;
    for (int i = 0; i < count; ++i) {
      const int at = begin + i;
      const float wanted = at < 0 || at >= 20000 ? 0 : static_cast<float>(at + 1);
      wrong += read[static_cast<std::size_t>(i)] != wanted ? 1 : 0;
    }
    CHECK(wrong == 0);
  }
}
