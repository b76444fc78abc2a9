#include "onset_net.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "base/frames.hpp"
#include "firmus/error.hpp"
#include "onsets/onsets.hpp"
#include "synth.hpp"

using namespace firmus;
using namespace firmus::onsets;

namespace {

synth::Note note_of(double pitch_hz, double length_s) {
  synth::Note note;
  note.pitch_hz = pitch_hz;
  note.length_s = length_s;
  return note;
}

OnsetEvidence log_odds_of(const Samples& samples, int threads = 1) {
  const Evidence evidence = gather_evidence(samples, {90, 1100}, threads);
  return detect_onsets(samples, evidence, viterbi_f0_track(evidence), *default_onset_net(), threads);
}

std::string refusal(const std::string& text) {
  try {
    parse_onset_net(text, "w.txt");
  } catch (const InputError& error) {
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("a net of one unit gives its hidden tanh times the output weights") {
  std::vector<float> weights(OnsetNet::weight_count(1));
  weights[0] = 2;               // first input
  weights[net_inputs] = -1;     // bias
  weights[net_inputs + 1] = 3;  // to the onset
  weights[net_inputs + 2] = 0.5F;
  weights[net_inputs + 3] = -4;  // to the offset
  weights[net_inputs + 4] = 1;
  std::array<float, net_inputs> inputs{};
  inputs[0] = 1;
  const auto [onset, offset] = OnsetNet(1, weights)(inputs);
  CHECK(onset == doctest::Approx(3 * 0.7615942 + 0.5));  // tanh 1 = 0.7615942
  CHECK(offset == doctest::Approx(-4 * 0.7615942 + 1));
}

TEST_CASE("weights written and read again give the same evidence") {
  std::vector<float> weights(OnsetNet::weight_count(2));
  for (std::size_t i = 0; i < weights.size(); ++i) weights[i] = static_cast<float>(i % 7) * 0.125F - 0.25F;
  const OnsetNet again = parse_onset_net(onset_net_as_text(2, weights, "made up"), "w.txt");
  std::array<float, net_inputs> inputs{};
  inputs[5] = 0.3F;
  CHECK(again(inputs).onset == OnsetNet(2, weights)(inputs).onset);
  CHECK(again(inputs).offset == OnsetNet(2, weights)(inputs).offset);
}

TEST_CASE("a damaged weights file is refused by name") {
  const std::string good = onset_net_as_text(1, std::vector<float>(OnsetNet::weight_count(1)), "zeros");
  CHECK(refusal(good) == "");
  CHECK(refusal("hello").find("w.txt: is not a file of onset weights") == 0);
  CHECK(refusal(good.substr(0, good.size() / 2)).find("instead of") != std::string::npos);
  CHECK(refusal(good + "nan\n").find("not a number") != std::string::npos);
  CHECK(refusal("firmus-onset-net 1 7 1\n").find("7 inputs") != std::string::npos);
}

TEST_CASE("onsets of sung notes stand out where the vowel starts") {
  std::vector<synth::Note> notes;
  for (int i = 0; i < 12; ++i) {
    notes.push_back(note_of(220.0 * std::exp2((i % 5) / 12.0), 0.4));
    notes.back().gap_after_s = 0.08;
    notes.back().vowel = i % 5;
  }
  const auto sound = synth::render(notes, 9);
  const OnsetEvidence log_odds = log_odds_of(sound.samples());
  int found = 0;
  for (const auto& note : sound.notes) {
    const std::size_t at = frame_at(note.onset_s);
    std::size_t best = at - 20;
    for (std::size_t i = at - 20; i <= at + 20; ++i)
      if (log_odds.onset_logit[i] > log_odds.onset_logit[best]) best = i;
    found += log_odds.onset_logit[best] > 0 && best + 8 >= at && best <= at + 8;  // 40 ms
  }
  CHECK(found >= 11);
}

TEST_CASE("log odds are the same to the last bit on every run, whatever the number of threads") {
  std::vector<synth::Note> notes;
  for (int i = 0; i < 14; ++i) notes.push_back(note_of(180 + 20 * i, 1));  // over two blocks
  const auto sound = synth::render(notes, 5);
  const OnsetEvidence one = log_odds_of(sound.samples(), 1), three = log_odds_of(sound.samples(), 3);
  REQUIRE(one.onset_logit.size() > 2048);
  CHECK(one.onset_logit == three.onset_logit);
  CHECK(one.offset_logit == three.offset_logit);
}
