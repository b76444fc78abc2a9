// Everything that is said of one take: the plain struct between measuring and reporting. Missing is std::optional
// (an empty CSV cell, a JSON null), never 0, -1 or NaN. Field meanings: the field table in src/report.
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

/// One run through the melody: a singer who stops and starts again has several.
struct Attempt {
  double from_s = 0, to_s = 0;
  int written_from = 0, written_to = 0;  ///< first and last written note reached, by index
  int sung = 0, missing = 0, extra = 0;
  bool counts = false;  ///< the one that is judged
};

enum class UnclearReason { too_short, noisy, unstable, two_voices, clipped };
constexpr auto enum_names(UnclearReason) {
  using enum UnclearReason;
  return std::to_array<EnumName<UnclearReason>>({{too_short, "too_short"},
                                                 {noisy, "noisy"},
                                                 {unstable, "unstable"},
                                                 {two_voices, "two_voices"},
                                                 {clipped, "clipped"}});
}

struct Vibrato {
  double rate_hz = 0;
  double extent_cents = 0;  ///< either way from the centre (half of peak to peak)
};

/// One stretch sung in one key, with its own centre line.
struct KeySegment {
  int from_index = 0, to_index = 0;  ///< written notes, inclusive
  int transposition_semitones = 0;
  double centre_cents = 0;  ///< of the line at the stretch's middle, against concert pitch in this transposition
  double centre_se_cents = 0;
  std::optional<double> drift_cents_per_minute;  ///< Theil-Sen (Sen 1968); none under 12 judged notes or 10 s
  std::optional<std::pair<double, double>> drift_ci95;
  bool drift_significant = false;  ///< interval excludes 0 and over 10 cents in the stretch
};

struct NoteErrors {
  std::optional<double> concert_cents, own_cents, interval_cents;
};
/// The error that a take measured against `reference` is judged by.
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
  std::optional<int> index;  ///< none: belongs to no written note
  std::optional<std::string> section, word, written;
  std::optional<int> pass, bar, phrase;
  std::optional<double> beat, written_beats;
  NoteStatus status = NoteStatus::sung;
  std::optional<Verdict> verdict;
  std::optional<UnclearReason> unclear_reason;
  std::optional<double> onset_s, end_s, sung_hz;
  std::optional<std::string> sung;  ///< nearest note name, in the octave that sounds
  NoteErrors errors;
  std::optional<std::string> interval_name;  ///< into this note, as written
  std::optional<Direction> interval_direction;
  std::optional<double> interval_written_cents;
  std::optional<double> se_cents, spread_cents, slope_cents_per_s, scoop_cents, level_dbfs, match_confidence;
  std::optional<Vibrato> vibrato;
};

enum class HabitDecision { chronic, leaning };
constexpr auto enum_names(HabitDecision) {
  using enum HabitDecision;
  return std::to_array<EnumName<HabitDecision>>({{chronic, "chronic"}, {leaning, "leaning"}});
}

/// One row of `chronic`: a group of notes that share a name ("interval M6 up"), and how far they are off against the
/// rest of the take. `decision` is none where the group was not tested or shows nothing: then it is only counted.
struct HabitRow {
  std::optional<HabitDecision> decision;
  std::string group, name;
  std::optional<Direction> direction;
  int count = 0, same_way = 0;  ///< judged notes of the group; of these, off in the direction of the mean
  double mean_cents = 0, lowest_cents = 0, highest_cents = 0;
  std::optional<std::pair<double, double>> ci95_cents;
  std::optional<double> p, p_adjusted;  ///< of the group alone; adjusted for all groups tested
  std::vector<int> indices;
  std::vector<std::string> aliases;      ///< other names of the same notes: "degree 6", "all but register low"
  std::vector<std::string> confounders;  ///< groups that overlap so much that they explain the error as well
  std::optional<int> required_more;      ///< leaning: occurrences still needed for 90 % power at the size estimated
  std::optional<double> minimum_detectable_cents;  ///< size that would have been found with 90 % power
};

struct Summary {
  int written = 0, judged = 0, in_tune = 0, sharp = 0, flat = 0, other_note = 0, missing = 0, extra = 0, unclear = 0;
  std::optional<double> in_tune_share, judged_share, accuracy_cents, precision_cents, mean_abs_cents;
};

/// How far the recording can be trusted: "38 of 40 notes can be trusted to 5 cents".
struct PrecisionSummary {
  int notes = 0, of = 0;
  std::optional<double> cents;  ///< 95 % half width that nine in ten of them keep
};

/// How the take of a drill did on the notes that the drill is about.
struct DrillProgress {
  DrillAim aim;  ///< without its notes
  int notes = 0, judged = 0, in_tune = 0, most_in_a_row = 0;
  std::optional<double> mean_cents;  ///< of the judged ones
  bool done = false;                 ///< enough of them in a row in tune
};

struct RecordingInfo {
  std::string name;
  std::optional<std::string> sha256;
  std::optional<int> sample_rate_hz, channels;
  std::optional<double> duration_s;
};

/// Why a take has no measurement.
struct NotMeasured {
  std::string kind, detail, advice;
};

struct MelodyFacts {
  std::string title, sha256, text;
  std::optional<std::string> key, meter, tempo;
  int written_notes = 0;
};

struct Result {
  Settings settings;
  Context context;
  RecordingInfo take;
  std::optional<NotMeasured> error;  ///< set: nothing below is
  SignalQuality signal_quality;
  std::optional<MelodyFacts> melody;  ///< none: nearest notes, no alignment, no mark
  AlignmentDecision decision = AlignmentDecision::sure;
  double alignment_confidence = 0, matched_share = 0;
  std::vector<Attempt> attempts;
  std::optional<double> centre_a4_hz, centre_cents;
  std::optional<int> transposition_semitones;
  std::vector<KeySegment> key_segments;
  std::optional<double> tempo_bpm;
  std::vector<NoteResult> notes;  ///< every written note in order, extras and restarts placed by time
  std::vector<HabitRow> habits;
  Summary summary;
  PrecisionSummary trust;
  std::optional<DrillProgress> drill;  ///< none: the melody is no drill
  std::vector<float> f0_track_hz;      ///< refined pitch every 5 ms, 0 where unvoiced: for pictures, in no table
};

}  // namespace firmus
