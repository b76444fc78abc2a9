// The result of one take, as plain structs that the measuring stages fill and the reports read. A value that does not
// exist is an empty std::optional (an empty CSV cell, a JSON null), never 0, -1 or NaN. The field tables in src/report
// define each field.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/melody.hpp"
#include "firmus/signal_quality.hpp"

namespace firmus {

/// Cents are written with so many decimals. Errors of notes are rounded to them before anything is decided by them, so
/// that whoever reads a result finds the same as the program that wrote it.
inline constexpr int written_cents_decimals = 1;

enum class NoteStatus { sung, missing, extra, restart, optional_left_out };
constexpr auto enum_names(NoteStatus) {
  using enum NoteStatus;
  return std::to_array<EnumName<NoteStatus>>({{sung, "sung"},
                                              {missing, "missing"},
                                              {extra, "extra"},
                                              {restart, "restart"},
                                              {optional_left_out, "optional_left_out"}});
}

enum class AlignmentDecision { sure, listen, not_this_melody };
constexpr auto enum_names(AlignmentDecision) {
  using enum AlignmentDecision;
  return std::to_array<EnumName<AlignmentDecision>>(
      {{sure, "sure"}, {listen, "listen"}, {not_this_melody, "not this melody"}});
}

/// One attempt to sing the melody. A singer who stops and starts again makes several.
struct Attempt {
  double from_s = 0, to_s = 0;
  int written_from = 0, written_to = 0;  ///< lowest and highest index of the written notes sung
  int sung = 0, missing = 0, extra = 0;  ///< numbers of notes; notes that may be left out are never missing
  bool counts = false;                   ///< the selected attempt: its notes are judged
};

enum class UnclearReason { too_short, noisy, unstable, two_voices, clipped, cut_off, joined };
constexpr auto enum_names(UnclearReason) {
  using enum UnclearReason;
  return std::to_array<EnumName<UnclearReason>>({{too_short, "too_short"},
                                                 {noisy, "noisy"},
                                                 {unstable, "unstable"},
                                                 {two_voices, "two_voices"},
                                                 {clipped, "clipped"},
                                                 {cut_off, "cut_off"},
                                                 {joined, "joined"}});
}

struct Vibrato {
  double rate_hz = 0;
  double extent_cents = 0;  ///< amplitude: half of peak to peak
};

/// Consecutive written notes sung in one transposition, with the tuning curve of this segment: a straight line.
struct KeySegment {
  int from_index = 0, to_index = 0;  ///< written notes, inclusive
  int transposition_semitones = 0;
  double centre_cents = 0;     ///< of the line at the segment's middle, relative to concert pitch so transposed
  double centre_se_cents = 0;  ///< standard error
  std::optional<double> drift_cents_per_minute;  ///< Theil-Sen slope (Sen 1968); none below 12 judged notes or 10 s
  std::optional<std::pair<double, double>> drift_ci95;
  bool drift_significant = false;  ///< the interval excludes 0, and the drift over the segment exceeds 10 cents
};

/// Sung minus written pitch in cents, positive when sharp: at concert pitch, in the octave sung; relative to the take's
/// own tuning curve; as the interval from the last judged note. All none for a note that is not judged, the last also
/// for the first judged note. Of a take without a melody or a key: relative to the note that it is named; no interval
/// error after an unclear note, and none at all where the take has no clear centre.
struct NoteErrors {
  std::optional<double> concert_cents, own_cents, interval_cents;
};
/// The error relative to `reference`, by which the note is judged.
std::optional<double> error_against(const NoteErrors& errors, Reference reference);

enum class Verdict { in_tune, sharp, flat, other_note, unclear };
constexpr auto enum_names(Verdict) {
  using enum Verdict;
  return std::to_array<EnumName<Verdict>>(
      {{in_tune, "in_tune"}, {sharp, "sharp"}, {flat, "flat"}, {other_note, "other_note"}, {unclear, "unclear"}});
}

struct Settings {
  Reference reference = Reference::own;
  Cents tolerance_cents = Cents(25);
  Hertz a4_hz = Hertz(440);
  std::string tuning = "equal";
};

struct Context {
  std::optional<std::string> student, assignment, piece, date;
};

struct NoteResult {
  std::optional<int> index;  ///< written note, from 0; none: extra or restart. Without a melody a running number
  std::optional<std::string> section, word, written;
  std::optional<int> pass, bar, phrase;
  std::optional<double> beat, written_beats;
  bool may_be_left_out = false;  ///< a grace note, or marked `maybe` in the melody: in no count, mean or share
  NoteStatus status = NoteStatus::sung;
  std::optional<Verdict> verdict;
  std::optional<UnclearReason> unclear_reason;
  std::optional<double> onset_s, end_s, sung_hz;
  std::optional<std::string> sung;  ///< nearest note name, in the octave that sounds
  NoteErrors errors;
  std::optional<std::string> interval_name;  ///< written interval into this note, such as "M6"
  std::optional<Direction> interval_direction;
  std::optional<double> interval_written_cents;
  std::optional<double> se_cents, spread_cents, slope_cents_per_s, scoop_cents, level_dbfs, match_confidence;
  std::optional<Vibrato> vibrato;
};

/// `within_tolerance`: significant as `chronic` is, but every note was judged in tune, so that it is no fault.
enum class HabitDecision { chronic, leaning, within_tolerance };
constexpr auto enum_names(HabitDecision) {
  using enum HabitDecision;
  return std::to_array<EnumName<HabitDecision>>(
      {{chronic, "chronic"}, {leaning, "leaning"}, {within_tolerance, "within_tolerance"}});
}

/// One row of `chronic` in JSON: a group of notes with a common property ("interval M6 up"), the mean error of these
/// very notes, and how far that is from the rest of the take, which is what was tested. `decision` is none when the
/// group was not tested or not significant: its notes are only counted.
struct HabitRow {
  std::optional<HabitDecision> decision;
  std::string group, name;
  std::optional<Direction> direction;
  int count = 0, same_way = 0;  ///< judged notes of the group; those of them whose error has the sign of the mean
  int out_of_tune = 0;          ///< those of them judged sharp or flat
  double mean_cents = 0, lowest_cents = 0, highest_cents = 0;  ///< of the notes' own errors
  std::optional<std::pair<double, double>> ci95_cents;         ///< of the mean; none where the group was not tested
  std::optional<double> contrast_cents;  ///< the group against the rest of the take, by regression; none: not tested
  std::optional<std::pair<double, double>> contrast_ci95_cents;
  std::optional<double> p, p_adjusted;  ///< unadjusted; adjusted for all groups tested. None: not tested
  std::vector<int> indices;
  std::vector<std::string> aliases;      ///< other names of the same notes: "degree 6", "all but register low"
  std::vector<std::string> confounders;  ///< overlapping groups that can explain the error as well
  std::optional<int> required_more;      ///< leaning: further notes needed for 90 % power at the estimated size
  std::optional<double> minimum_detectable_cents;  ///< size detected with 90 % power
};

/// Counts of notes and means over the judged notes. The shares are 0 to 1, of the judged and of the written notes;
/// accuracy is the mean error, precision the standard deviation. Means are none without judged notes and exclude
/// notes sung as another note. Notes that may be left out enter none of these, sung or not.
struct Summary {
  int written = 0, judged = 0, in_tune = 0, sharp = 0, flat = 0, other_note = 0, missing = 0, extra = 0, unclear = 0;
  std::optional<double> in_tune_share, judged_share, accuracy_cents, precision_cents, mean_abs_cents;
};

/// Measurement precision of a recording: `notes` of `of` sung notes have a clear pitch.
struct PrecisionSummary {
  int notes = 0, of = 0;
  std::optional<double> cents;  ///< 90th percentile of the half widths of their 95 % intervals
};

/// Result of a take of a drill on the notes that the drill practises: `in_tune` and `most_in_a_row` count those within
/// `within_cents`. Errors are relative to the notes not practised, or to concert pitch (see drill_progress).
struct DrillProgress {
  DrillAim aim;  ///< its `notes` are empty
  int notes = 0, judged = 0, in_tune = 0, most_in_a_row = 0;
  std::optional<double> within_cents;  ///< none in results of older versions, which counted notes in tune
  std::optional<double> mean_cents;    ///< mean error of the judged notes, without those sung as another note
  /// 5 in a row, or all of `notes` when they are fewer, are within the limit and their mean within 10 cents of 0.
  bool done = false;
};

/// A recurring problem, or a single written note (group "spot"), that was there in one of two takes and is not in the
/// other. The sizes are mean errors of the notes judged in both, against the tuning curve of each take.
struct SinceFinding {
  std::string group, name;
  std::optional<Direction> direction;
  double then_cents = 0, now_cents = 0;
  std::pair<double, double> change_ci95_cents;  ///< of now minus then, simultaneous for all that was compared
  std::vector<int> indices;                     ///< the written notes compared
};

enum class SinceVerdict { better, worse, not_clear };
constexpr auto enum_names(SinceVerdict) {
  using enum SinceVerdict;
  return std::to_array<EnumName<SinceVerdict>>({{better, "better"}, {worse, "worse"}, {not_clear, "not clear"}});
}

/// A take compared with an earlier one of the same melody, over the written notes judged in both.
struct Since {
  std::string take;  ///< name of the earlier take
  std::optional<std::string> sha256, date;
  int notes = 0;  ///< judged in both, and sung as another note in neither
  std::optional<double> then_mean_abs_cents, now_mean_abs_cents;  ///< mean absolute error of these notes; none for none
  std::optional<double> change_cents;                             ///< now minus then: negative is better
  std::optional<std::pair<double, double>> change_ci95_cents;     ///< none below 3 notes
  SinceVerdict verdict = SinceVerdict::not_clear;                 ///< better or worse where the interval excludes 0
  int off_then = 0, off_then_in_tune_now = 0;                     ///< judged notes that were not in tune then
  int in_tune_then = 0, in_tune_then_off_now = 0;
  std::vector<SinceFinding> solved, appeared;
};

struct RecordingInfo {
  std::string name;
  std::optional<std::string> sha256;
  std::optional<int> sample_rate_hz, channels;
  std::optional<double> duration_s;
};

/// Why a take has no measurement: `kind` is one word for scripts.
struct NotMeasured {
  std::string kind, detail, advice;
};

struct MelodyFacts {
  std::string title, sha256, text;
  std::optional<std::string> key, meter, tempo;
  int written_notes = 0;           ///< of the passage, where it is one
  bool from_take = false;          ///< no melody was given: the notes of the take, named in a key (MeasureOptions::key)
  std::optional<BarRange> bars{};  ///< the passage that was expected; none: the whole melody
};

struct Result {
  Settings settings;
  Context context;
  RecordingInfo take;
  std::optional<NotMeasured> error;  ///< if set, the members below have their defaults
  SignalQuality signal_quality;
  std::optional<MelodyFacts> melody;  ///< none: notes are named and nothing is judged; no alignment, no mark
  AlignmentDecision decision = AlignmentDecision::sure;
  /// Shares, 0 to 1: of the steps from note to note that came as written; of the written notes found in the selected
  /// attempt.
  double alignment_confidence = 0, matched_share = 0;
  std::vector<Attempt> attempts;
  std::optional<double> centre_a4_hz, centre_cents;
  std::optional<int> transposition_semitones;
  std::vector<KeySegment> key_segments;
  std::optional<double> tempo_bpm;
  std::vector<NoteResult> notes;  ///< every written note in order; extra and restart notes are inserted by time
  std::vector<HabitRow> habits;
  Summary summary;
  PrecisionSummary trust;
  std::optional<DrillProgress> drill;  ///< none when the melody is not a drill
  std::optional<Since> since;          ///< none when no earlier take was given
  std::vector<float> f0_track_hz;      ///< refined f0 every 5 ms, 0 where unvoiced: for pictures, not saved
};

/// A change of key within a take, or a drift beyond the tolerance.
struct PitchChange {
  enum class Kind { step, drift };
  Kind kind = Kind::step;
  double cents = 0;  ///< positive: higher. Of a step between the middles of two segments, of a drift over its segment
  int from_index = 0, to_index = 0;  ///< written notes of the segment that the step leads to, or that drifts
  bool begins_phrase = false;        ///< of a step: its first note begins a phrase
};
/// By time: the step into each key segment but the first, and each segment's drift where it is significant and exceeds
/// the tolerance of the take.
std::vector<PitchChange> pitch_changes(const Result& result);

}  // namespace firmus
