// A melody as synthesized reference tones, to listen to and sing or play after.
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
  std::optional<double> beats_per_minute;  ///< of the melody's beat unit; overrides its own tempo
  double transpose_semitones = 0;
  std::optional<SpelledPitch> drone;    ///< sounds below all notes, in the melody's tuning, at its written pitch
  int count_in_beats = 0;               ///< clicks before the melody, on its beats, at its first tempo
  std::optional<Cents> contrast_cents;  ///< each note three times: in tune, off by this (sharp above 0), in tune
  double gain_db = 0;                   ///< at most highest_gain_db
};
/// At this gain a note over a drone peaks at 0.84 of full scale at most: never clipped.
inline constexpr double highest_gain_db = 10;

/// When a note sounds, in samples at tone_rate_hz from the start.
struct ToneSpan {
  int index = 0;  ///< WrittenNote::index
  std::int64_t begin = 0, end = 0;
  Hertz hz;
};
/// The tones of a melody in order: one a note, three with `contrast_cents`, none for grace notes. Tempo as written, or
/// 90 quarters a minute where none is.
std::vector<ToneSpan> tone_spans(const Melody& melody, const ToneOptions& options);
/// Frequency of the drone; none without one.
std::optional<Hertz> drone_hz(const Melody& melody, const ToneOptions& options);
/// First sample of each count-in click. Clicks fall on beats (the meter's lower figure): when the melody begins between
/// two beats, the last click is less than a beat before it.
std::vector<std::int64_t> count_in_clicks(const Melody& melody, const ToneOptions& options);
/// Total number of samples, with half a second of silence at the end.
std::int64_t tone_length(std::span<const ToneSpan> spans);

/// Synthesizes the melody and passes the samples (one channel, tone_rate_hz, within -1 to 1) to `sink` block by block.
/// Each note is a sum of exact harmonics without vibrato, with the same RMS at every pitch and raised-cosine edges.
void make_tones(const Melody& melody, const ToneOptions& options,
                const std::function<void(std::span<const float>)>& sink);

}  // namespace firmus
