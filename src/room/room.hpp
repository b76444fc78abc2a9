// Stage `room`: samples -> the same samples without the late reverberation of a large room, where there is any. In a
// hall the notes before still sound when the next begins: they hide its onset, and two of them together look like one
// lower note. All later stages take the samples as if they had been recorded near by.
#pragma once
#include <optional>

#include "firmus/audio.hpp"

namespace firmus {

/// The reverberation time (to -60 dB) of a room large enough to disturb what follows, from how fast each band falls
/// after a sound in it has ended: 1 to 3 s. None where the sound ends sooner, or where too little ends to tell. Blind
/// estimation from decays: Ratnam et al., JASA 114, 2003; here with quantiles over bands. The first five minutes are
/// used.
std::optional<Seconds> estimate_long_reverberation(const Samples& samples);

/// Spectral subtraction of late reverberation: in each bin of a short-time spectrum the power expected of the tail of
/// what sounded 0.1 s before is taken away, down to -16 dB (Lebart, Boucher & Denbigh, Acta Acustica 87, 2001). Direct
/// sound and early reflections stay, with their phases. As many samples, kept as those of a recording are: beyond ten
/// minutes in a temporary file.
Samples without_late_reverberation(const Samples& samples, Seconds reverberation_time);

}  // namespace firmus
