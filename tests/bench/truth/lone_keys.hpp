// Attack, release and f0 of single keys of a sound-font instrument, as its samples have them.
#pragma once
#include <string>
#include <vector>

namespace firmus::truth {

struct LoneKey {
  double attack_s = 0;        ///< from note-on until it is heard
  double release_s = 0;       ///< from note-off until it is heard no more
  std::vector<double> f0_hz;  ///< every lone_key_hop_s from note-on
};
inline constexpr double lone_key_hop_s = 0.02;

/// Renders a Standard MIDI File, dry; samples at rate_hz.
std::vector<float> render_midi(const std::string& bytes, int rate_hz);

/// Measured once for each program and key, then kept. May be called from several threads.
const LoneKey& lone_key(int program, int key);

}  // namespace firmus::truth
