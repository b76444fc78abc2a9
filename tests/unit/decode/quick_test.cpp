#include <doctest/doctest.h>

#include <algorithm>

#include "base/frames.hpp"
#include "boundaries.hpp"
#include "ideal.hpp"

using namespace firmus;
using namespace firmus::test;

namespace {

Melody run_of_sixteenths() {
  return read_melody(
      "meter: 4/4\nC4:0.25 D4:0.25 E4:0.25 F4:0.25 G4:0.25 F4:0.25 E4:0.25 G4:0.25 A4:0.25 B4:0.25 C5:0.25 A4:0.25 "
      "G4:0.25 E4:0.25 D4:0.25 E4:0.25 | F4:0.25 E4:0.25 D4:0.25 F4:0.25 E4:0.25 C4:0.25 B3:0.25 D4:0.25 C4:2",
      "run");
}

const std::string all_of_run = "0 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 24";

}  // namespace

TEST_CASE("sixteenths at 120 quarters a minute are found, tongued") {
  const Melody melody = run_of_sixteenths();
  const Decoded decoded = decode_melody(ideal_evidence(sing_exactly(melody, 0.5, 0.5), 6), melody);
  CHECK(order_of(decoded) == all_of_run);
  CHECK(decoded.decision == AlignmentDecision::sure);
}

TEST_CASE("sixteenths on one vowel, told apart by steps of pitch alone, are found at their times") {
  const Melody melody = run_of_sixteenths();
  auto sung = sing_exactly(melody, 0.5, 0.5);
  for (std::size_t i = 0; i + 1 < sung.size(); ++i) sung[i].end_s = sung[i + 1].onset_s;
  Ideal ideal = ideal_evidence(sung, 6);
  std::fill(ideal.onsets.onset_logit.begin() + static_cast<std::ptrdiff_t>(frame_at(0.55)),
            ideal.onsets.onset_logit.end(), -6.0F);
  const Decoded decoded = decode_melody(ideal, melody);
  REQUIRE(order_of(decoded) == all_of_run);
  CHECK(decoded.decision == AlignmentDecision::sure);
  for (std::size_t i = 0; i < sung.size(); ++i) CHECK(std::abs(decoded.notes[i].onset_s - sung[i].onset_s) < 0.025);
}

TEST_CASE("quick notes of another melody are not taken for this one") {
  const Melody sung = run_of_sixteenths();
  const Melody other = read_melody(
      "meter: 4/4\nG4:0.25 C4:0.25 B4:0.25 D4:0.25 A4:0.25 C4:0.25 G4:0.25 B3:0.25 F4:0.25 C5:0.25 D4:0.25 B4:0.25 "
      "E4:0.25 "
      "A4:0.25 C4:0.25 G4:0.25 | D4:0.25 A4:0.25 B3:0.25 G4:0.25 C4:0.25 F4:0.25 A4:0.25 E4:0.25 G4:2",
      "other");
  CHECK(decode_melody(ideal_evidence(sing_exactly(sung, 0.5, 0.5), 6), other).decision ==
        AlignmentDecision::not_this_melody);
}

TEST_CASE("a step of pitch between notes of 100 ms is a boundary where notes may be quick") {
  std::vector<float> f0_hz, logits(80, -8);
  for (std::size_t i = 0; i < 80; ++i) f0_hz.push_back(i / 20 % 2 == 0 ? 220.0F : 247.0F);
  const auto in_middle = [&](decode::NoteLengths lengths) {
    const auto boundaries = decode::find_boundaries(f0_hz, logits, -4.5F, lengths);
    return std::ranges::count_if(boundaries, [](const decode::Boundary& b) { return b.frame > 15 && b.frame < 65; });
  };
  CHECK(in_middle(decode::NoteLengths::usual) == 0);
  CHECK(in_middle(decode::NoteLengths::quick) == 3);
}
