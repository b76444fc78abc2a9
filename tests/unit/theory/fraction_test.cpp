#include <doctest/doctest.h>

#include <cstdint>
#include <stdexcept>

#include "firmus/rhythm.hpp"

using firmus::Fraction;

TEST_CASE("fractions are exact and always reduced") {
  CHECK(Fraction(1, 3) + Fraction(1, 6) == Fraction(1, 2));
  CHECK(Fraction(1, 3) - Fraction(1, 3) == Fraction(0));
  CHECK(Fraction(3, 2) * Fraction(4, 9) == Fraction(2, 3));
  CHECK(Fraction(3, 2) / Fraction(3, 4) == Fraction(2));
  CHECK(Fraction(6, -4).num == -3);
  CHECK(Fraction(6, -4).den == 2);
  CHECK(Fraction(1, 3) < Fraction(34, 100));
  CHECK_FALSE(Fraction(1, 2) < Fraction(2, 4));
  CHECK(Fraction(3, 8).value() == 0.375);
}

TEST_CASE("ten thousand thirds and sevenths add up to whole numbers") {
  Fraction sum;
  for (int i = 0; i < 3000; ++i) sum = sum + Fraction(1, 3) + Fraction(1, 7);
  CHECK(sum == Fraction(10000, 7));
}

TEST_CASE("a sum past 64 bits throws instead of wrapping around") {
  CHECK_THROWS_AS(Fraction(INT64_MAX) + Fraction(1), std::overflow_error);
  CHECK_THROWS_AS(Fraction(1, 4294967291) + Fraction(1, 4294967279), std::overflow_error);
  CHECK_THROWS_AS(Fraction(INT64_MAX, 2) * Fraction(3), std::overflow_error);
  CHECK_THROWS_AS(Fraction(INT64_MIN, 1), std::overflow_error);
  CHECK_THROWS_AS(Fraction(1, 0), std::domain_error);
}
