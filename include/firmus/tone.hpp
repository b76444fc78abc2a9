// A melody as reference tones: what it asks for, to sing or play after.
#pragma once
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "firmus/melody.hpp"

namespace firmus {

inline constexpr int tone_rate_hz = 48000;

struct ToneOptions {
  std::optional<double> beats_per_minute;  ///< of the melody's beat unit, in place of its own tempo
  double transpose_semitones = 0;
  std::optional<SpelledPitch> drone;  ///< sounds below all notes, in the melody's tuning, at its written pitch
};

/// Where a note sounds, in samples from the start.
struct ToneSpan {
  int index = 0;  ///< of the written note
  std::int64_t begin = 0, end = 0;
  double hz = 0;
};
/// The notes as they sound, in order; grace notes do not. Tempo as written, else 90 quarters a minute.
std::vector<ToneSpan> tone_spans(const Melody& melody, const ToneOptions& options);
/// Samples in all, with half a second of silence at the end.
std::int64_t tone_length(std::span<const ToneSpan> spans);

/// Gives the samples (one channel, tone_rate_hz, within -1 to 1) to `sink`, block by block. Each note is its harmonics
/// at exact multiples of its frequency, without vibrato, at one loudness (RMS) whatever its pitch, rising and falling
/// smoothly so that nothing clicks.
void make_tones(const Melody& melody, const ToneOptions& options,
                const std::function<void(std::span<const float>)>& sink);

}  // namespace firmus
