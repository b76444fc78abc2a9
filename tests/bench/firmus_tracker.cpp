#include "base/frames.hpp"
#include "firmus/take.hpp"
#include "tones.hpp"
#include "trackers.hpp"

namespace firmus::bench {

Tracker firmus_tracker() {
  return {"firmus", true, [](std::span<const float> samples) {
            const F0Track track = track_pitch(recording_from_samples("tone", samples, 1, tone_rate_hz));
            return Track{frame_hop_s, {track.f0_hz.begin(), track.f0_hz.end()}};
          }};
}

}  // namespace firmus::bench
