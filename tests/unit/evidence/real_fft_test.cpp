#include "real_fft.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace firmus;

TEST_CASE("a cosine of three cycles has all its power in bin 3, and comes back") {
  RealFft fft(60);
  for (std::size_t i = 0; i < 60; ++i)
    fft.time()[i] = static_cast<float>(std::cos(2 * std::numbers::pi * 3 * static_cast<double>(i) / 60));
  fft.forward();
  for (std::size_t bin = 0; bin <= 30; ++bin)
    CHECK(std::abs(fft.bins()[bin]) == doctest::Approx(bin == 3 ? 30.0 : 0.0).epsilon(1e-4));
  fft.inverse();
  CHECK(fft.time()[0] == doctest::Approx(60.0).epsilon(1e-4));
  CHECK(fft.time()[10] == doctest::Approx(60 * std::cos(std::numbers::pi)).epsilon(1e-4));
}

TEST_CASE("good sizes are even and made of 2, 3 and 5") {
  CHECK(RealFft::good_size(1027) == 1080);
  CHECK(RealFft::good_size(1024) == 1024);
  CHECK(RealFft::good_size(7) == 8);
}
