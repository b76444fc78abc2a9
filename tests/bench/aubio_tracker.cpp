// libaubio's pitch trackers, with the options that its own program takes by default.
#include <aubio/aubio.h>

#include <memory>
#include <stdexcept>

#include "tones.hpp"
#include "trackers.hpp"

namespace firmus::bench {
namespace {

constexpr unsigned window_samples = 4096, hop_samples = 220;

template <auto release>
struct Release {
  template <typename T>
  void operator()(T* it) const {
    release(it);
  }
};
using Vector = std::unique_ptr<fvec_t, Release<del_fvec>>;
using Pitch = std::unique_ptr<aubio_pitch_t, Release<del_aubio_pitch>>;

Track run_aubio(const std::string& method, std::span<const float> samples) {
  const Pitch pitch(new_aubio_pitch(method.c_str(), window_samples, hop_samples, tone_rate_hz));
  if (!pitch) throw std::runtime_error("aubio has no pitch method " + method);
  const Vector in(new_fvec(hop_samples)), out(new_fvec(1));
  Track track{static_cast<double>(hop_samples) / tone_rate_hz, {}};
  for (std::size_t at = 0; at + hop_samples <= samples.size(); at += hop_samples) {
    for (unsigned i = 0; i < hop_samples; ++i) fvec_set_sample(in.get(), samples[at + i], i);
    aubio_pitch_do(pitch.get(), in.get(), out.get());
    const double hz = fvec_get_sample(out.get(), 0);
    track.f0_hz.push_back(hz >= lowest_hz && hz <= highest_hz ? hz : 0.0);
  }
  return track;
}

}  // namespace

Tracker aubio_tracker(const std::string& method) {
  return {"aubio " + method, false, [method](std::span<const float> samples) { return run_aubio(method, samples); }};
}

}  // namespace firmus::bench
