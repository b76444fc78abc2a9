// Stage `measure`: samples and decoded notes -> refined f0 track; the pitch of each note with its standard error; its
// error against concert pitch, against the singer's own tuning, and of the interval into it; that tuning with its
// drift; warnings of a second pitch and of a wrong sample rate. Decides nothing about which note is which.
//
// The pitch of a note is a median of its refined f0 (log scale, 5 ms frames), found in these steps:
// 1. Frames. The voiced frames between onset and end, less those more than 700 cents from their median.
// 2. Vibrato and steady part. A sine of 3 to 8 Hz is fitted to f0 by least squares; the steady part is what remains
//    between attack and release (level) and between a scoop and a glide (pitch). The two are estimated in turn, each
//    with the other known.
//    Where long notes show the singer's vibrato, all notes of the take are measured with its rate and extent known.
// 3. Vibrato that is left: a quasi-periodic component, tracked by a Bayesian average over models of random-walk drift
//    and a damped stochastic oscillator. A Kalman filter gives the likelihood of each model, a Rauch-Tung-Striebel
//    smoother the oscillation in each frame.
// 4. Removal. Fitted and tracked vibrato are removed with a weight that is 1 where they are regular and falls to 0.
//    f0 is then smoothed over 60 ms, with a weight that grows from 0 at a frame-to-frame jitter of 1.3 cents.
// 5. Pitch: the median over the central window, the middle three fifths from the onset to the end of the vowel (where
//    the level falls for good). Fewer than 12 voiced frames, or than 8 in that window, give no pitch.
//
// The standard error is the root of the sum of squares of these terms, scaled to simulated voices with exact truth:
// - boundaries: how the median moves when onset and end are shifted as the decoder errs;
// - frames: the error of the median by the second-difference noise variance in the window; and a floor of 0.1 cents;
// - fitted vibrato: the two terms above are multiplied by 1.4, and the error of the fit's mean over the steady part is
//   added (for parts of under 0.35 s from a Gaussian process instead of the fit);
// - tracked vibrato: its posterior standard error, and 0.47 of the change that its removal makes to the median;
// - smoothing: half of the change that it makes to the median;
// - reverberation: 4 cents times the reverberation level of the take (an amplitude ratio).
// Not covered: errors that all frames share, such as a wrong sample rate.
#pragma once
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>

#include "decode/decode.hpp"

namespace firmus {

/// The measurements of one sung note. Where `unclear` has a value the other figures may be missing, or are there but
/// should not be judged.
struct NotePitch {
  std::optional<double> hz;                 ///< none under 12 voiced frames, or 8 in the central window
  std::optional<double> se_cents;           ///< standard error of hz, calibrated on simulated voices
  std::optional<double> spread_cents;       ///< standard deviation of f0 over the steady part, vibrato included
  std::optional<double> slope_cents_per_s;  ///< Theil-Sen slope over the steady part, vibrato removed
  std::optional<double> scoop_cents;        ///< pitch 10 to 25 ms after the onset minus hz; none within 20 cents
  std::optional<Vibrato> vibrato;           ///< rate and extent of the fitted sine; none below 15 cents
  std::optional<double> level_dbfs;         ///< mean power over the steady part
  std::optional<UnclearReason> unclear;
};

/// Refines f0 of every voiced frame from the phase of its harmonics below 6.5 kHz, 12 at most. `coarse_hz`: one value
/// for each evidence frame (5 ms), 0 where unvoiced. Returns as many values; 0 stays 0, and a frame whose refined value
/// is more than 70 cents from the coarse one keeps the coarse one. The result does not depend on `threads`.
std::vector<float> refine_track(const Samples& samples, std::span<const float> coarse_hz, int threads = 1);

/// Reverberation level of a take: amplitude of the sound that continues at a note's pitch 0.12 s after its end (a
/// room's decay tail, an accompaniment that holds the note), divided by the note's own; median over the notes before a
/// long enough gap. 0 where it is more than 20 dB below the note (a voice's own release), or where there is no such
/// gap. `notes` by time.
double estimate_reverberation_level(const Samples& samples, std::span<const float> refined_hz,
                                    std::span<const DecodedNote> notes);

/// Measures the note that sounds from onset_s to end_s. `refined_hz`: one value for each frame of 5 ms of the take, 0
/// where unvoiced. `reverberation_level`: of the take, see estimate_reverberation_level. Times outside the take, or in
/// the wrong order, give a note without pitch.
NotePitch measure_note(const Samples& samples, std::span<const float> refined_hz, double onset_s, double end_s,
                       double reverberation_level = 0);

/// Measures all notes of a take, as measure_note does. Where the long notes show that the singer has a vibrato of much
/// the same rate throughout, all are measured again with rate and extent known (empirical Bayes): a short note alone
/// does not show where the centre of its one or two cycles lies. One result for each note.
std::vector<NotePitch> measure_notes(const Samples& samples, std::span<const float> refined_hz,
                                     std::span<const DecodedNote> notes, double reverberation_level = 0);

/// What the tuning curve is fitted to: one entry for each judged note of the selected attempt, by time.
struct JudgedNote {
  int index = 0;      ///< written note
  double time_s = 0;  ///< middle of the note
  double sung_hz = 0;
  double target_hz = 0;  ///< as written, at the melody's concert pitch, without transposition
  int phrase = 1;        ///< WrittenNote::phrase
};
/// The singer's own tuning: for each key segment a robust line of the errors over time (biweight level, Theil-Sen slope
/// where there are 12 notes that span 10 s, else none).
struct TuningCurve {
  std::vector<KeySegment> key_segments;  ///< by time, covering all judged notes; empty when there are none
  std::vector<NoteErrors> errors;   ///< one for each judged note, same order (concert: in the octave it was sung in)
  int transposition_semitones = 0;  ///< of the longest key segment
  int octave_semitones = 0;         ///< the transposition to the nearest 12, ties towards 0
  double centre_cents = 0;  ///< of the take: median of the line against concert pitch, without the transposition
};
/// Finds the key segments (change points) and fits the line of each; every note's error against concert pitch, against
/// that line, and of the interval from the judged note before it. Empty for no notes.
TuningCurve fit_tuning_curve(std::span<const JudgedNote> notes);

/// The pitches that a take without a melody may aim at, in cents above C, 0 to 1200: those of the tuning, or of a scale
/// in it. Repeats in every octave; never empty.
using PitchGrid = std::vector<double>;
/// A note that sounds, to be placed on a grid: `cents` above C0 at concert pitch.
struct GridNote {
  double time_s = 0, cents = 0;
};
/// Where a frequency lies for a GridNote.
double cents_above_c0(Hertz frequency, Hertz a4);
/// How the notes of a take lie on a grid: shifted by a straight line over time.
struct GridFit {
  double middle_s = 0;           ///< between the first and the last note
  double centre_cents = 0;       ///< of the line at the middle: sung minus grid
  double drift_cents_per_s = 0;  ///< 0 for fewer than 8 notes
  bool clear = false;            ///< the notes lie closer to the grid than notes anywhere would (Rayleigh's test)
  double at(double time_s) const { return centre_cents + drift_cents_per_s * (time_s - middle_s); }
};
/// The line that puts most notes close to the grid, by search over centre and drift; the cost of a note that
/// fits nowhere is capped (redescending). The centre is within `most_centre_cents` either way: 50 for the semitones of
/// a tuning, which lie alike from one semitone to the next, more for a scale, which does not. A larger centre or drift
/// needs more evidence. Zero for no notes.
GridFit fit_pitch_grid(std::span<const GridNote> notes, const PitchGrid& grid, double most_centre_cents);

/// A judged note to be named: what is written, the key there, and the error against the singer's own tuning.
struct NoteToName {
  SpelledPitch written;
  std::optional<Key> key;
  double own_cents = 0;
};
/// For each note whether another note of the tuning was sung in its place. It is decided once for all places of a
/// written note that are off alike (errors without a gap of half a semitone between them): their median
/// lies within 20 cents of another note, or is over 100 cents off. A place further than half a semitone from that
/// median is decided alone.
std::vector<bool> sung_as_other_notes(std::span<const NoteToName> notes, const Tuning& tuning);

/// Warns when a second pitch (another voice, an accompaniment) sounds in at least three tenths of the voiced time. One
/// an octave or twelfth above the first is not detected.
std::optional<RecordingWarning> detect_second_pitch(const Samples& samples, std::span<const float> refined_hz);

/// Warns when the centre and transposition together are off by the ratio of two common sample rates (147 cents for 48
/// and 44.1 kHz, 555 for 44.1 and 32 kHz, to within 6) and the notes
/// vary by 12 cents at most: the file may have a wrong rate in its header. Needs 12 judged notes in one key without
/// significant drift.
std::optional<RecordingWarning> detect_sample_rate_mismatch(const TuningCurve& curve);

}  // namespace firmus
