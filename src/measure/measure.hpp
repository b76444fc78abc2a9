// Samples + decoded notes -> refined pitch with its standard error, the three errors, centre line, drift.
#pragma once
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "decode/decode.hpp"

namespace firmus {

/// The pitch of one sung note: the centre of log f0 over its steady part, vibrato taken off: the median over the middle
/// three fifths, or, where a short note may hold a vibrato that cannot be told, the mean over all of the part.
struct NotePitch {
  std::optional<double> hz;                 ///< none when it cannot be told
  std::optional<double> se_cents;           ///< standard error of hz; 95 % intervals hold the truth 95 times in 100
  std::optional<double> spread_cents;       ///< standard deviation of f0 over the steady part, vibrato included
  std::optional<double> slope_cents_per_s;  ///< robust slope over the steady part
  std::optional<double> scoop_cents;  ///< where it began against its centre; none when it began within 20 cents of it
  std::optional<Vibrato> vibrato;     ///< none when there is none
  std::optional<double> level_dbfs;
  std::optional<UnclearReason> unclear;
};

/// f0 of every frame refined with all harmonics above the noise, within the chosen candidate; 0 stays 0.
/// `coarse_hz` has one value per evidence frame (5 ms). Same length out; the same whatever the number of threads.
std::vector<float> refine_track(const Samples& samples, std::span<const float> coarse_hz, int threads = 1);

/// How loud a note still sounds when it is over (a room's tail, an accompaniment that holds it), against the note
/// itself: amplitude, median over the notes that a gap follows; 0 where there is no more than a voice's own release, or
/// where no gap is long enough to tell. `notes` by time.
double estimate_reverberation_level(const Samples& samples, std::span<const float> refined_hz,
                                    std::span<const DecodedNote> notes);

/// Pitch of the note that sounds from onset_s to end_s, from the refined track (5 ms frames) and the samples.
/// `lingering`: of the take, see estimate_reverberation_level.
NotePitch measure_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s,
                       double reverberation_level = 0);

/// What the centre line is fitted to: one entry for each judged note of the try that counts, by time.
struct JudgedNote {
  int index = 0;      ///< written note
  double time_s = 0;  ///< middle of the note
  double sung_hz = 0;
  double target_hz = 0;  ///< concert target
  double se_cents = 0;
  double key_hint_semitones = 0;  ///< the transposition the decoder was in
};
struct TuningCurve {
  std::vector<KeySegment> key_segments;  ///< by time, covering all judged notes; empty when there are none
  std::vector<NoteErrors> errors;   ///< one for each judged note, same order (concert: in the octave it was sung in)
  int transposition_semitones = 0;  ///< of the longest stretch
  int octave_semitones = 0;         ///< the transposition to the nearest 12, ties towards 0
  double centre_cents = 0;          ///< of the take: median own centre against concert, transposition taken off
};
/// Errors against concert, own centre line, and the interval from the last judged written note before it.
TuningCurve fit_tuning_curve(std::span<const JudgedNote> notes);

/// Warns when another pitch sounds beside the measured one in at least three tenths of the voiced time (second voice,
/// accompaniment). One at the octave or twelfth cannot be heard this way.
std::optional<RecordingWarning> detect_second_pitch(const Samples& samples, std::span<const float> refined_hz);

/// Warns when all notes are off by the ratio of two common sample rates (147 or 555 cents), within 12 cents of each
/// other: it could be a wrong rate in the file. Needs 12 judged notes in one key without drift.
std::optional<RecordingWarning> detect_sample_rate_mismatch(const TuningCurve& line);

}  // namespace firmus
