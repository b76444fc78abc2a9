#include "singing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "firmus/melody.hpp"
#include "singer.hpp"
#include "synth.hpp"

namespace firmus::bench {
namespace {

// 75 notes on 120 beats at 124 beats a minute last 58 s; the rest of the minute is silence.
constexpr int bars_in_minute = 30, bars_in_phrase = 4;
constexpr double lead_s = 0.3;
constexpr std::array names{"C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5", "D5", "E5"};

/// A step or a small leap, reflected at both ends of the range.
std::size_t next_degree(std::size_t from, synth::Random& random) {
  const int moves[] = {-3, -2, -1, -1, 1, 1, 2, 3};
  const int move = moves[static_cast<std::size_t>(random.uniform() * 8)];
  const int to = static_cast<int>(from) + move;
  return static_cast<std::size_t>(to < 0 || to >= static_cast<int>(names.size()) ? static_cast<int>(from) - move : to);
}

}  // namespace

std::string melody_head() {
  return "title: Round and Round\nkey: C major\nmeter: 4/4\ntempo: 124\n\n";
}

std::string melody_minute(std::uint64_t seed) {
  synth::Random random(seed);
  std::string text;
  std::size_t degree = 4;
  const auto add = [&](int beats) {
    text += fmt::format("{}:{} ", names[degree], beats);
    degree = next_degree(degree, random);
  };
  for (int bar = 0; bar < bars_in_minute; ++bar) {
    const bool two_notes = bar % 2 == 1;
    add(two_notes ? 2 : 1);
    if (!two_notes) add(1);
    add(2);
    text += bar % bars_in_phrase == bars_in_phrase - 1 ? ", |\n" : "| ";
  }
  return text + "\n";
}

std::vector<float> sing_minute(std::uint64_t seed) {
  const Melody melody = read_melody(melody_head() + melody_minute(seed), "minute");
  singer::Plan plan;
  plan.seed = seed;
  plan.lead_s = lead_s;
  std::vector<float> samples = singer::sing(melody, plan).samples;
  samples.resize(60 * singer::rate_hz, 0.0F);
  return samples;
}

}  // namespace firmus::bench
