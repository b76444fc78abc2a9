#include "firmus/quantities.hpp"

#include <doctest/doctest.h>

#include <type_traits>

using namespace firmus;

TEST_CASE("sums_and_differences_of_one_unit_keep_it") {
  static_assert(std::is_same_v<decltype(Hertz(440) + Hertz(2)), Hertz>);
  CHECK((Hertz(440) + Hertz(2)).value() == 442);
  CHECK((Cents(10) - Cents(25)).value() == -15);
  CHECK((-Cents(12.5)).value() == -12.5);
  Seconds time(1.5);
  time += Seconds(2);
  time -= Seconds(0.5);
  CHECK(time.value() == 3);
}

TEST_CASE("a_quantity_can_be_scaled_and_a_ratio_is_a_number") {
  static_assert(std::is_same_v<decltype(Hertz(440) * 2), Hertz>);
  static_assert(std::is_same_v<decltype(Hertz(880) / Hertz(440)), double>);
  CHECK((2 * Hertz(220)).value() == 440);
  CHECK((Seconds(3) / 4).value() == 0.75);
  CHECK(Hertz(660) / Hertz(440) == 1.5);
}

TEST_CASE("hertz_times_seconds_is_a_number_of_cycles") {
  CHECK(Hertz(440) * Seconds(0.5) == 220);
  CHECK(Seconds(0.5) * Hertz(440) == 220);
}

TEST_CASE("quantities_of_one_unit_are_compared_by_value") {
  CHECK(Hertz(440) == Hertz(440.0F));
  CHECK(Cents(-5) < Cents(5));
  CHECK(Seconds(2) >= Seconds(2));
  CHECK(Seconds().value() == 0);
}

TEST_CASE("a_quantity_is_read_as_a_double") {
  const double hz = Hertz(440);
  CHECK(hz == 440);
}
