// Reference values: R 4.2.2, p.adjust(p, "holm"); the comments give the calls.
#include "base/holm.hpp"

#include <doctest/doctest.h>

using namespace firmus;
using doctest::Approx;

namespace {

void check_adjusted(const std::vector<double>& p, const std::vector<double>& expected) {
  const std::vector<double> adjusted = holm_adjusted(p);
  REQUIRE(adjusted.size() == expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    CAPTURE(i);
    CHECK(adjusted[i] == Approx(expected[i]).epsilon(1e-12));
  }
}

}  // namespace

TEST_CASE("Holm's adjusted p-values are those of R, in the order given, and ties are adjusted alike") {
  // p.adjust(c(0.04, 0.01, 0.03, 0.005, 0.01), "holm"): 0.03 * 2 and 0.04 * 1, the latter raised to the former.
  check_adjusted({0.04, 0.01, 0.03, 0.005, 0.01}, {0.060, 0.040, 0.060, 0.025, 0.040});
}

TEST_CASE("an adjusted p-value never falls below that of a smaller p, and never exceeds 1") {
  // p.adjust(c(0.010, 0.013, 0.014, 0.190, 0.350), "holm") and p.adjust(c(0.9, 0.4, 0.6), "holm")
  check_adjusted({0.010, 0.013, 0.014, 0.190, 0.350}, {0.050, 0.052, 0.052, 0.380, 0.380});
  check_adjusted({0.9, 0.4, 0.6}, {1, 1, 1});
}

TEST_CASE("one p-value stays as it is, none gives none") {
  check_adjusted({0.03}, {0.03});
  CHECK(holm_adjusted({}).empty());
}
