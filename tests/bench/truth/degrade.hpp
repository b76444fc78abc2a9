// Degradation of a take with known truth by a phone, a room or a codec. All seeded; levels are relative to the power of
// the sounding parts.
#pragma once
#include <cstdint>
#include <vector>

#include "simulated_room.hpp"
#include "truth_take.hpp"

namespace firmus::truth {

/// White noise and its low-passed part in equal power, `snr_db` under the sounding parts.
void add_noise(TruthTake& take, double snr_db, std::uint64_t seed);
/// Mains hum of 50 Hz with harmonics to 400 Hz.
void add_hum(TruthTake& take, double under_db);
/// Amplifies until the given share of samples exceeds full scale, and clips.
void clip(TruthTake& take, double share);
/// Scales the sounding parts to this level (RMS), and rounds to 16 bits.
void set_level(TruthTake& take, double dbfs);
/// Adds reverberation by velvet noise (support/reverberation.hpp).
void add_reverb(TruthTake& take, double to_60_db_s, double under_direct_db, std::uint64_t seed);
/// What the take sounds like in a simulated room; its notes keep their onsets, those of the direct sound.
void add_room(TruthTake& take, const RoomSound& room, std::uint64_t seed);
/// Adds chords of struck strings in the rhythm of the melody; each contains the note that is sung.
void add_chords(TruthTake& take, double under_db, std::uint64_t seed);
/// Adds a sound, its sounding part `under_db` below the voice.
void add_sound(TruthTake& take, const std::vector<float>& sound, double under_db);
/// Resamples with a windowed sinc; the band above the lower of the two rates is gone.
void resample(TruthTake& take, int rate_hz);

enum class Codec { opus_16k, aac_32k };
bool codec_is_there(Codec codec);
/// Encodes and decodes with ffmpeg, and removes the codec's delay.
void encode_and_decode(TruthTake& take, Codec codec);

}  // namespace firmus::truth
