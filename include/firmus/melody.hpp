// The given melody: what is written, played out in the order it is to be sung, with exact lengths.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"
#include "firmus/theory.hpp"

namespace firmus {

/// An exact number of beats or quarter notes, always reduced, den > 0. Throws std::overflow_error past 64 bits.
struct Fraction {
  std::int64_t num = 0;
  std::int64_t den = 1;
  Fraction() = default;
  Fraction(std::int64_t numerator, std::int64_t denominator = 1);
  double value() const { return static_cast<double>(num) / static_cast<double>(den); }
  friend bool operator==(const Fraction&, const Fraction&) = default;
};
Fraction operator+(const Fraction& a, const Fraction& b);
Fraction operator-(const Fraction& a, const Fraction& b);
Fraction operator*(const Fraction& a, const Fraction& b);
Fraction operator/(const Fraction& a, const Fraction& b);
bool operator<(const Fraction& a, const Fraction& b);

struct Meter {
  int count = 4;  ///< upper figure
  int unit = 4;   ///< lower figure: the beat unit is one 1/unit note
  friend bool operator==(const Meter&, const Meter&) = default;
};

enum class NoteMark { none, maybe, free };

/// One written note, in playing order. Holds are merged into it; rests are gaps between notes.
struct WrittenNote {
  int index = 0;             ///< 0, 1, ... in playing order
  SpelledPitch pitch;        ///< as written
  double target_hz = 0;      ///< what it asks for: tuning, concert pitch, `sounds` and deviation applied
  Fraction beats;            ///< length in beat units, holds included; 0 for a grace note
  Fraction onset_quarters;   ///< from the first token of the melody played out, in quarter notes
  Fraction length_quarters;  ///< 0 for a grace note
  NoteMark mark = NoteMark::none;
  bool grace = false;                         ///< may be sung, never judged
  std::string section;                        ///< empty when the melody has none
  int pass = 1;                               ///< which time this section is played, from 1
  std::optional<int> bar;                     ///< printed number; 0 for the upbeat; none without a meter
  std::optional<Fraction> beat;               ///< from 1, in beat units within the bar; none without a meter
  int phrase = 1;                             ///< from 1; a breath (,) ends one
  std::optional<std::string> word;            ///< its syllable; none where the words give it none
  std::optional<Key> key;                     ///< the key in force here
  std::optional<double> quarters_per_minute;  ///< the tempo in force here, a hint
  int line = 0, column = 0;                   ///< where it is written in the file (0 when from no text)
};

enum class Reference { concert, own, interval };
std::string_view to_string(Reference reference);
std::optional<Reference> parse_reference(std::string_view text);

/// What a melody drills: the group of notes that was off in a student's takes, under the name that results have, which
/// way, and which notes of the melody it comes down to.
struct DrillAim {
  std::string group, name;  ///< "interval" "M6", "note" "F#4", "spot" "bar 3 beat 2"
  std::optional<Direction> direction;
  bool flat = true;        ///< the way it was off; else sharp
  std::vector<int> notes;  ///< indices, rising; never empty
  friend bool operator==(const DrillAim&, const DrillAim&) = default;
};
/// As the `drill:` header has it: "flat on interval M6 up; notes 2 4 6" (notes counted from 1).
std::string drill_aim_text(const DrillAim& aim);

struct Melody {
  std::string title;
  std::optional<Key> key;      ///< the first key given
  std::optional<Meter> meter;  ///< the first meter given
  std::string tempo_text;      ///< as written ("96", "3 = 60"), empty when none
  Tuning tuning;
  double a4_hz = 440.0;
  int sounds_semitones = 0;
  std::optional<Reference> reference;
  std::optional<DrillAim> drill;   ///< none: not a drill
  std::string text;                ///< the file as read
  std::string sha256;              ///< of `text`
  std::vector<WrittenNote> notes;  ///< never empty
  std::vector<Problem> warnings;   ///< bars that do not add up, key signature left off, syllable counts, ...
};

/// Reads a melody in text or CSV form, told apart by content. `file` is the name shown in problems.
/// Throws InputError with up to 20 problems (and a last one counting the rest).
Melody read_melody(std::string_view text, const std::string& file);
/// The same from a path; also refuses what is no regular file or too large.
Melody read_melody_file(const std::string& path);

/// The melody at another concert pitch and/or tuning (command line over file): target_hz made anew.
Melody retuned(Melody melody, std::optional<double> a4_hz, std::optional<Tuning> tuning);

/// The interval from the note before by index; none for the first note.
std::optional<Interval> interval_into(const Melody& melody, int index);

/// The melody in the text format, such that reading it gives the same notes again. From `text` where that still has
/// these notes (sections, order and passes stay); else from `notes` alone: one meter, sections only while none is
/// played twice.
std::string melody_as_text(const Melody& melody);
/// The melody played out, as CSV `note,beats,bar,word,phrase` with a header, rests and holds in rows of their own.
/// Beats are quarter notes, since a CSV has no meter; a word that a spreadsheet would run gets an apostrophe in front.
std::string melody_as_csv(const Melody& melody);
/// For people: bars, beats, intervals, words and range, then the warnings; at most 78 columns.
std::string describe_melody(const Melody& melody);

}  // namespace firmus
