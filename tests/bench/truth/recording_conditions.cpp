// Conditions of the recording: a natural voice, degraded.
#include <fmt/format.h>

#include "conditions.hpp"
#include "degrade.hpp"

namespace firmus::truth {
namespace {

using Degrade = std::function<void(TruthTake&, std::uint64_t seed)>;

Condition degraded(std::string name, std::optional<double> right_percent, int every, Degrade degrade) {
  Condition condition;
  condition.name = std::move(name);
  condition.right_percent = right_percent;
  condition.onset_ms = voice_onset_ms;
  condition.every = every;
  condition.make = [degrade = std::move(degrade)](const std::string& melody_name, std::uint64_t seed) {
    const Melody melody = melody_named(melody_name);
    TruthTake take = sing_take(melody_name, melody, natural_plan(melody, seed));
    degrade(take, seed);
    return take;
  };
  return condition;
}

/// The voice is not changed, so the note pitch must be as accurate as in a clean take.
Condition harmless(Condition condition) {
  condition.cents = natural_cents;
  return condition;
}

Condition through(std::string name, Codec codec) {
  Condition condition =
      degraded(std::move(name), 99.5, 1, [codec](TruthTake& take, std::uint64_t) { encode_and_decode(take, codec); });
  condition.clean = true;
  if (!codec_is_there(codec)) condition.not_run = "ffmpeg with this encoder is not installed";
  return condition;
}

}  // namespace

std::vector<Condition> recording_conditions() {
  std::vector<Condition> all = {through("opus 16 kbit/s", Codec::opus_16k), through("aac 32 kbit/s", Codec::aac_32k)};
  for (const int rate_hz : {8000, 11025, 22050, 44100, 48000, 96000}) {
    Condition rate = degraded(fmt::format("{} Hz", rate_hz), 99.5, 2,
                              [rate_hz](TruthTake& take, std::uint64_t) { resample(take, rate_hz); });
    rate.clean = true;
    all.push_back(rate_hz > singer::rate_hz ? harmless(rate) : rate);
  }
  all.push_back(harmless(degraded("hum", 99.5, 1, [](TruthTake& take, std::uint64_t) { add_hum(take, 20); })));
  all.push_back(degraded("clipping, 2 %", {}, 1, [](TruthTake& take, std::uint64_t) { clip(take, 0.02); }));
  all.push_back(
      harmless(degraded("level -45 dBFS", {}, 1, [](TruthTake& take, std::uint64_t) { set_level(take, -45); })));
  all.push_back(degraded("20 dB noise", {}, 1, [](TruthTake& take, std::uint64_t s) { add_noise(take, 20, s); }));
  all.push_back(degraded("10 dB noise", 98, 1, [](TruthTake& take, std::uint64_t s) { add_noise(take, 10, s); }));
  all.push_back(degraded("reverb 0.8 s", 98, 1, [](TruthTake& take, std::uint64_t s) { add_reverb(take, 0.8, 6, s); }));
  all.push_back(degraded("reverb 1.8 s", 98, 1, [](TruthTake& take, std::uint64_t s) { add_reverb(take, 1.8, 3, s); }));
  all.push_back(degraded("piano at -25 dB", {}, 1, [](TruthTake& take, std::uint64_t s) { add_chords(take, 25, s); }));
  all.push_back(degraded("piano at -12 dB", {}, 1, [](TruthTake& take, std::uint64_t s) { add_chords(take, 12, s); }));
  all.push_back(degraded("piano at -6 dB", 90, 1, [](TruthTake& take, std::uint64_t s) { add_chords(take, 6, s); }));
  return all;
}

}  // namespace firmus::truth
