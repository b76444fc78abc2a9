// The sound of a room behind samples: dense reflections that decay.
#pragma once
#include <cstdint>
#include <vector>

namespace firmus::support {

/// Adds velvet noise (1500 reflections of random sign a second) that decays by 60 dB in `to_60_db_s`, its total level
/// `under_direct_db` below the direct sound (Karjalainen & Jarvelainen, AES 30th conference, 2007, for the noise;
/// memory).
void add_reverberation(std::vector<float>& samples, int rate_hz, double to_60_db_s, double under_direct_db,
                       std::uint64_t seed);

}  // namespace firmus::support
