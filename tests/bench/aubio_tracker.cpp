// libaubio's pitch trackers, with the options that its own program takes by default.
#include <stdexcept>

#include "aubio_handles.hpp"
#include "tones.hpp"
#include "trackers.hpp"

namespace firmus::bench {
namespace {

constexpr unsigned window_samples = 4096, hop_samples = 220;

Track run_aubio(const std::string& method, std::span<const float> samples) {
  const AubioPitch pitch(new_aubio_pitch(method.c_str(), window_samples, hop_samples, tone_rate_hz));
  if (!pitch) throw std::runtime_error("aubio has no pitch method " + method);
  const AubioVector out(new_fvec(1));
  Track track{static_cast<double>(hop_samples) / tone_rate_hz, {}};
  for_each_hop(samples, hop_samples, [&](const fvec_t* hop) {
    aubio_pitch_do(pitch.get(), hop, out.get());
    const double hz = fvec_get_sample(out.get(), 0);
    track.f0_hz.push_back(hz >= lowest_hz && hz <= highest_hz ? hz : 0.0);
  });
  return track;
}

}  // namespace

Tracker aubio_tracker(const std::string& method) {
  return {"aubio " + method, false, [method](std::span<const float> samples) { return run_aubio(method, samples); }};
}

}  // namespace firmus::bench
