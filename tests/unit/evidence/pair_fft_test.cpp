#include "pair_fft.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

using namespace firmus::evidence;

namespace {

std::vector<float> cosine(int cycles, int size, double height) {
  std::vector<float> values(static_cast<std::size_t>(size));
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = static_cast<float>(height * std::cos(2 * std::numbers::pi * cycles * static_cast<double>(i) / size));
  return values;
}

}  // namespace

TEST_CASE("two cosines have all their power in their own bins") {
  PairFft fft(64);
  std::vector<float> first(32), second(32);
  fft.set(cosine(3, 64, 1), cosine(32, 64, 0.5));
  fft.powers(first, second);
  for (std::size_t k = 0; k < 32; ++k) {
    CAPTURE(k);
    CHECK(first[k] == doctest::Approx(k + 1 == 3 ? 32.0 * 32.0 : 0.0).epsilon(1e-4));    // (64 / 2)^2
    CHECK(second[k] == doctest::Approx(k + 1 == 32 ? 32.0 * 32.0 : 0.0).epsilon(1e-4));  // (0.5 * 64)^2: all is there
  }
}

TEST_CASE("autocorrelations of two signals come out apart") {
  PairFft fft(16);
  fft.set(std::vector<float>{1, 2, 0, -1}, std::vector<float>{0, 3, 1, 0});
  const auto lags = fft.autocorrelations();
  const double first[]{6, 2, -2, -1, 0, 0, 0, 0}, second[]{10, 3, 0, 0, 0, 0, 0, 0};  // by hand
  for (std::size_t lag = 0; lag < 8; ++lag) {
    CAPTURE(lag);
    CHECK(lags[lag].real() / 16 == doctest::Approx(first[lag]).epsilon(1e-4));
    CHECK(lags[lag].imag() / 16 == doctest::Approx(second[lag]).epsilon(1e-4));
  }
}

TEST_CASE("a window weighs both signals, and what was there before is gone") {
  PairFft fft(16);
  fft.set(cosine(1, 16, 1), cosine(1, 16, 1));
  const float window[]{0.5F, 2.0F};
  fft.set(std::vector<float>{4, 1}, std::vector<float>{0, 3}, window);
  const auto lags = fft.autocorrelations();
  CHECK(lags[0].real() / 16 == doctest::Approx(8.0));  // 2^2 + 2^2
  CHECK(lags[1].real() / 16 == doctest::Approx(4.0));  // 2 * 2
  CHECK(lags[0].imag() / 16 == doctest::Approx(36.0));
}

TEST_CASE("good sizes are powers of two, or five eighths of one") {
  CHECK(PairFft::good_size(10) == 16);
  CHECK(PairFft::good_size(946) == 1024);
  CHECK(PairFft::good_size(1024) == 1024);
  CHECK(PairFft::good_size(1025) == 1280);
  CHECK(PairFft::good_size(2137) == 2560);
  CHECK(PairFft::good_size(2600) == 4096);
}
