// The written melody: its notes in playing order (repeats unrolled), with exact lengths.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/enum_names.hpp"
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

/// One written note. Holds are merged into it; rests are gaps between notes.
struct WrittenNote {
  int index = 0;             ///< 0, 1, ... in playing order
  SpelledPitch pitch;        ///< as written
  Hertz target_hz;           ///< written pitch with tuning, concert pitch, `sounds` and deviation applied
  Fraction beats;            ///< length in beat units, holds included; 0 for a grace note
  Fraction onset_quarters;   ///< from the first token of the unrolled melody, in quarter notes
  Fraction length_quarters;  ///< 0 for a grace note
  NoteMark mark = NoteMark::none;
  bool grace = false;                         ///< may be sung; is not judged
  std::string section;                        ///< empty when the melody has none
  int pass = 1;                               ///< how often this section has been played, this time included
  std::optional<int> bar;                     ///< printed number; 0 for the upbeat; none without a meter
  std::optional<Fraction> beat;               ///< from 1, in beat units within the bar; none without a meter
  int phrase = 1;                             ///< from 1; a breath (,) ends one
  std::optional<std::string> word;            ///< its syllable, if it has one
  std::optional<Key> key;                     ///< the key in force here
  std::optional<double> quarters_per_minute;  ///< the tempo in force here, a hint
  int line = 0, column = 0;                   ///< where it is written in the file (0 when from no text)
  /// A grace note, or marked `maybe`.
  bool may_be_left_out() const { return grace || mark == NoteMark::maybe; }
};

enum class Reference { concert, own, interval };
constexpr auto enum_names(Reference) {
  using enum Reference;
  return std::to_array<EnumName<Reference>>({{concert, "concert"}, {own, "own"}, {interval, "interval"}});
}
std::optional<Reference> parse_reference(std::string_view text);

/// The aim of a drill melody: a group of notes that was out of tune in a student's takes (named as in results), in
/// which direction, and the notes of the melody that belong to it.
struct DrillAim {
  std::string group, name;  ///< "interval" "M6", "note" "F#4", "spot" "bar 3 beat 2"
  std::optional<Direction> direction;
  bool flat = true;                 ///< false: sharp
  std::vector<int> notes;           ///< ascending indices; never empty
  std::optional<int> size_cents{};  ///< how far off the notes were in the takes; none in drills that do not say
  friend bool operator==(const DrillAim&, const DrillAim&) = default;
};
/// The value of the `drill:` header: "flat by 31 on interval M6 up; notes 2 4 6" (notes counted from 1).
std::string drill_aim_text(const DrillAim& aim);

struct Melody {
  std::string title;
  std::optional<Key> key;      ///< the first key given
  std::optional<Meter> meter;  ///< the first meter given
  std::string tempo_text;      ///< as written ("96", "3 = 60"), empty when none
  Tuning tuning;
  Hertz a4_hz = Hertz(440);
  int sounds_semitones = 0;
  std::optional<Reference> reference;
  std::optional<DrillAim> drill;   ///< none: not a drill
  std::string text;                ///< the file as read
  std::string sha256;              ///< of `text`
  std::vector<WrittenNote> notes;  ///< never empty
  std::vector<Problem> warnings;   ///< bars that do not add up, key signature left off, syllable counts, ...
  /// The note with this index, as results give it (NoteResult::index): from 0, and less than notes.size().
  const WrittenNote& note(int index) const { return notes[static_cast<std::size_t>(index)]; }
};

/// Reads a melody in text or CSV form, which the content decides. `file` is the name shown in problems.
/// Throws InputError with up to 20 problems (and a last one counting the rest).
Melody read_melody(std::string_view text, const std::string& file);
/// The same from a path. Also throws InputError when it is not a regular file or is larger than 1 MiB.
Melody read_melody_file(const std::string& path);

/// The melody with another concert pitch, another tuning, or both; target_hz is computed anew.
Melody with_tuning(Melody melody, std::optional<Hertz> a4, std::optional<Tuning> tuning);

/// The interval from note `index` - 1 to note `index`; none for the first note.
std::optional<Interval> interval_into(const Melody& melody, int index);

/// The melody in the text format; reading it gives the same notes again. Made from `text` if that still has these
/// notes, so that sections, order and passes are kept; otherwise from `notes`, with one meter, and with sections only
/// if none is played twice.
std::string melody_as_text(const Melody& melody);
/// The unrolled melody as CSV `note,beats,bar,word,phrase` with a header; rests and holds have rows of their own. Beats
/// are quarter notes, since a CSV has no meter. A word that a spreadsheet would take for a formula gets a leading
/// apostrophe.
std::string melody_as_csv(const Melody& melody);
/// A description for the terminal, at most 78 columns wide: bars, beats, intervals, words and range, then the warnings.
std::string describe_melody(const Melody& melody);

}  // namespace firmus
