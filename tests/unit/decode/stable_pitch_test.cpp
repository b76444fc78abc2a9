// Sung notes hold a pitch, speech glides: the longest run of stable pitch in a segment, and the share that it gives.
#include "stable_pitch.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "base/frames.hpp"
#include "ideal.hpp"

using namespace firmus;
using namespace firmus::decode;
using namespace firmus::test;

namespace {

/// One voiced sound from 0.5 to 1.5 s whose pitch follows `cents_at` (seconds from its start).
template <class Cents>
std::vector<float> sound(const Cents& cents_at) {
  std::vector<float> f0_hz = ideal_evidence({{0.5, 1.5, 220}}, 2).f0_track.f0_hz;
  for (std::size_t i = 100; i < 300; ++i)
    f0_hz[i] = static_cast<float>(220 * std::exp2(cents_at(time_of_frame(i - 100)) / 1200));
  return f0_hz;
}

std::size_t rest_of(const std::vector<float>& f0_hz, const std::vector<Boundary>& boundaries, std::size_t begin,
                    std::size_t end) {
  StablePitchRuns rests(f0_hz, boundaries);
  rests.start_at(end);
  for (std::size_t b = end; b > begin; --b) rests.extend_back();
  return rests.longest_frames();
}

}  // namespace

TEST_CASE("natural vibrato is stable for as long as is searched, a glide for the time that it takes over 90 cents") {
  const std::vector<Boundary> whole{{100, 6}};
  CHECK(rest_of(sound([](double t) { return 40 * std::sin(2 * 3.14159265 * 5.5 * t); }), whole, 0, 1) == 60);
  // 9.9 cents a frame: ten frames lie within 89 cents, eleven within 99
  CHECK(rest_of(sound([](double t) { return 1980 * t; }), whole, 0, 1) == 10);
}

TEST_CASE("a stable run ends with its segment and at silence, and continues over boundaries inside the segment") {
  const std::vector<float> steady = sound([](double) { return 0; });
  const std::vector<Boundary> boundaries{{100, 6}, {120, 6}, {150, 6}};
  CHECK(rest_of(steady, boundaries, 0, 1) == 20);
  CHECK(rest_of(steady, boundaries, 0, 2) == 50);
  CHECK(rest_of(steady, boundaries, 1, 2) == 30);
  CHECK(rest_of(steady, boundaries, 2, 3) == 60);
  CHECK(rest_of(steady, {{290, 6}}, 0, 1) == 10);  // the sound ends at frame 300
  CHECK(rest_of(steady, {{310, 6}}, 0, 1) == 0);
}

TEST_CASE("a sung note is stable for half of its voiced time, at least 200 ms and at most 300 ms") {
  CHECK(sustained_share(20, 40) == doctest::Approx(0.5));
  CHECK(sustained_share(40, 40) == doctest::Approx(1));
  CHECK(sustained_share(50, 100) == doctest::Approx(1));
  CHECK(sustained_share(60, 400) == doctest::Approx(1));
}
