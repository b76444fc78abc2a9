// libaubio's pitch trackers, with the options that its own program takes by default, and unvoiced frames.
#include <fmt/format.h>

#include <stdexcept>

#include "aubio_handles.hpp"
#include "resample_whole.hpp"
#include "tones.hpp"
#include "trackers.hpp"

namespace firmus::bench {
namespace {

constexpr unsigned window_samples = 4096, hop_samples = 220;
/// yin gives every frame a pitch; frames below this confidence count as unvoiced. That loses no frame of the tones, and
/// 0 % instead of 68 % of the frames of white noise count as voiced.
constexpr double least_yin_confidence = 0.5;

Track run_aubio(const std::string& method, unsigned times, std::span<const float> samples) {
  const AubioPitch pitch(
      new_aubio_pitch(method.c_str(), times * window_samples, times * hop_samples, times * tone_rate_hz));
  if (!pitch) throw std::runtime_error("aubio has no pitch method " + method);
  const AubioVector out(new_fvec(1));
  const double least_confidence = method == "yinfast" || method == "yin" ? least_yin_confidence : -1;
  Track track{static_cast<double>(hop_samples) / tone_rate_hz, {}};
  for_each_hop(samples, times * hop_samples, [&](const fvec_t* hop) {
    aubio_pitch_do(pitch.get(), hop, out.get());
    const double hz = fvec_get_sample(out.get(), 0);
    const bool believed = static_cast<double>(aubio_pitch_get_confidence(pitch.get())) >= least_confidence;
    track.f0_hz.push_back(believed && hz >= lowest_hz && hz <= highest_hz ? hz : 0.0);
  });
  return track;
}

}  // namespace

Tracker aubio_tracker(const std::string& method, int times) {
  if (times == 1)
    return {"aubio " + method, false, [method](std::span<const float> s) { return run_aubio(method, 1, s); }};
  const auto by = static_cast<unsigned>(times);
  return {fmt::format("{}, {}x rate", method, times), false, [method, by](std::span<const float> samples) {
            return run_aubio(method, by, resampled(samples, by * samples.size()));
          }};
}

}  // namespace firmus::bench
