// What a phone, a room and a codec do to a take whose truth is known. All seeded; levels are against the take's own
// power while it sounds.
#pragma once
#include <cstdint>
#include <vector>

#include "truth_take.hpp"

namespace firmus::truth {

/// White noise and its low-passed part in equal power, `snr_db` under the sounding parts.
void add_noise(TruthTake& take, double snr_db, std::uint64_t seed);
/// Mains hum of 50 Hz with harmonics to 400 Hz.
void add_hum(TruthTake& take, double under_db);
/// Gain until so many of the samples lie beyond full scale, cut there.
void clip(TruthTake& take, double share);
/// The sounding parts at this level (RMS), in steps of 16 bits.
void set_level(TruthTake& take, double dbfs);
/// A reverberating room: velvet noise that dies away by 60 dB in `to_60_db_s`, all of it `under_direct_db` under the
/// direct sound (Karjalainen & Jarvelainen, AES 30th conference, 2007, for the noise; memory).
void add_reverb(TruthTake& take, double to_60_db_s, double under_direct_db, std::uint64_t seed);
/// Struck chords in the melody's rhythm, each holding the note that is sung: partials that die away.
void add_chords(TruthTake& take, double under_db, std::uint64_t seed);
/// At another sampling rate, by a windowed sinc; the band above the lower of the two rates is gone.
void resample(TruthTake& take, int rate_hz);

enum class Codec { opus_16k, aac_32k };
bool codec_is_there(Codec codec);
/// Through ffmpeg and back, moved to where it was (codecs delay).
void encode_and_decode(TruthTake& take, Codec codec);

}  // namespace firmus::truth
