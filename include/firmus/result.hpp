// Everything that is said of one take: the plain struct between measuring and reporting. Missing is std::optional
// (an empty CSV cell, a JSON null), never 0, -1 or NaN. Field meanings: the field table in src/report.
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "firmus/audio.hpp"
#include "firmus/decode.hpp"
#include "firmus/measure.hpp"
#include "firmus/melody.hpp"

namespace firmus {

enum class Verdict { in_tune, sharp, flat, other_note, unclear };
std::string_view to_string(Verdict verdict);

struct Settings {
  Reference reference = Reference::own;
  double tolerance_cents = 25;
  double a4_hz = 440;
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

/// One row of `chronic`: a group of notes under a name, and how far off it is against the rest of the take. `decision`
/// is none where the group is only counted.
struct HabitRow {
  std::optional<HabitDecision> decision;
  std::string group, name;
  std::optional<Direction> direction;
  int count = 0, same_way = 0;
  double mean_cents = 0, lowest_cents = 0, highest_cents = 0;
  std::optional<std::pair<double, double>> ci95_cents;
  std::optional<double> p, p_adjusted;
  std::vector<int> indices;
  std::vector<std::string> same_as;        ///< other names of the same notes: "degree 6", "all but register low"
  std::vector<std::string> could_be;       ///< other groups that could as well be what is off
  std::optional<int> more_needed;          ///< leaning: occurrences that would settle it, if as large as it looks
  std::optional<double> shown_from_cents;  ///< a tendency of this size would have been found nine times in ten
};

struct Summary {
  int written = 0, judged = 0, in_tune = 0, sharp = 0, flat = 0, other_note = 0, missing = 0, extra = 0, unclear = 0;
  std::optional<double> in_tune_share, judged_share, accuracy_cents, precision_cents, mean_abs_cents;
};

/// How far the recording can be trusted: "38 of 40 notes can be trusted to 5 cents".
struct Trust {
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

struct TakeFacts {
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
  TakeFacts take;
  std::optional<NotMeasured> error;  ///< set: nothing below is
  Recording recording;
  std::optional<MelodyFacts> melody;  ///< none: nearest notes, no alignment, no mark
  AlignmentDecision decision = AlignmentDecision::sure;
  double alignment_confidence = 0, matched_share = 0;
  std::vector<Attempt> tries;
  std::optional<double> centre_a4_hz, centre_cents;
  std::optional<int> transposition_semitones;
  std::vector<Stretch> stretches;
  std::optional<double> tempo_bpm;
  std::vector<NoteResult> notes;  ///< every written note in order, extras and restarts placed by time
  std::vector<HabitRow> habits;
  Summary summary;
  Trust trust;
  std::optional<DrillProgress> drill;  ///< none: the melody is no drill
  std::vector<float> pitch_line_hz;    ///< refined pitch every 5 ms, 0 where unvoiced: for pictures, in no table
};

}  // namespace firmus
