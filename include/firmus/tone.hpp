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
  std::optional<SpelledPitch> drone;    ///< sounds below all notes, in the melody's tuning, at its written pitch
  int count_in_beats = 0;               ///< clicks before the melody, on its beats, at the tempo that it begins with
  std::optional<Cents> contrast_cents;  ///< each note three times: in tune, this far off (sharp above 0), in tune
  double gain_db = 0;                   ///< louder or softer; at most highest_gain_db
};
/// A note over a drone then peaks at 0.84 of full scale at most: nothing is ever cut off.
inline constexpr double highest_gain_db = 10;

/// Where a note sounds, in samples from the start.
struct ToneSpan {
  int index = 0;  ///< of the written note
  std::int64_t begin = 0, end = 0;
  Hertz hz;
};
/// The notes as they sound, in order, three for each with a contrast; grace notes do not. Tempo as written, else 90
/// quarters a minute.
std::vector<ToneSpan> tone_spans(const Melody& melody, const ToneOptions& options);
/// Where the drone sounds; none without one.
std::optional<Hertz> drone_hz(const Melody& melody, const ToneOptions& options);
/// The first sample of each click. A click falls on a beat (the meter's lower figure): before an upbeat that begins
/// between two beats the last one is less than a beat ahead.
std::vector<std::int64_t> count_in_clicks(const Melody& melody, const ToneOptions& options);
/// Samples in all, with half a second of silence at the end.
std::int64_t tone_length(std::span<const ToneSpan> spans);

/// Gives the samples (one channel, tone_rate_hz, within -1 to 1) to `sink`, block by block. Each note is its harmonics
/// at exact multiples of its frequency, without vibrato, at one loudness (RMS) whatever its pitch, rising and falling
/// smoothly so that nothing clicks.
void make_tones(const Melody& melody, const ToneOptions& options,
                const std::function<void(std::span<const float>)>& sink);

}  // namespace firmus
