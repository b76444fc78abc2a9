// The written melody: its notes in playing order (repeats unrolled), with exact lengths.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/error.hpp"
#include "firmus/rhythm.hpp"
#include "firmus/theory.hpp"

namespace firmus {

enum class NoteMark { none, maybe, free };

/// One written note. Holds are merged into it; rests are gaps between notes.
struct WrittenNote {
  int index = 0;             ///< 0, 1, ... in playing order
  SpelledPitch pitch;        ///< as written
  Hertz target_hz;           ///< written pitch with tuning, concert pitch, `sounds` and deviation applied
  int sounds_semitones = 0;  ///< from written to sounding pitch
  Fraction beats;            ///< length in beat units, holds included, each in those of its meter; 0 for a grace note
  Fraction onset_quarters;   ///< from the first token of the unrolled melody, in quarter notes
  Fraction onset_beats;      ///< the same in beat units, each stretch in those of its own meter
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
  std::optional<Meter> meter;                 ///< the meter in force here
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

/// Bars by their printed numbers, both ends included.
struct BarRange {
  int first = 1, last = 1;
  friend bool operator==(const BarRange&, const BarRange&) = default;
};
/// "9-16" or "9"; none when the text is neither, or its end lies before its start.
std::optional<BarRange> parse_bar_range(std::string_view text);
/// "9-16", "9"
std::string bar_range_text(const BarRange& bars);
/// "bars 9 to 16", "bar 9"
std::string bar_range_in_words(const BarRange& bars);

struct Melody {
  std::string title;
  std::optional<Key> key;      ///< the first key given
  std::optional<Meter> meter;  ///< the first meter given
  std::string tempo_text;      ///< as written ("96", "3 = 60"), empty when none
  Tuning tuning;
  Hertz a4_hz = Hertz(440);
  int sounds_semitones = 0;  ///< of the first note; a part may change its instrument on the way
  std::optional<Reference> reference;
  std::optional<DrillAim> drill;   ///< none: not a drill
  std::string text;                ///< the file as read; of a score, the melody text made of it
  std::string sha256;              ///< of `text`
  std::optional<BarRange> bars;    ///< the passage of `text` that this is; none: all of it
  std::vector<WrittenNote> notes;  ///< never empty
  std::vector<Problem> warnings;   ///< bars that do not add up, key signature left off, syllable counts, ...
  /// The note with this index, as results give it (NoteResult::index): from 0, and less than notes.size().
  const WrittenNote& note(int index) const { return notes[static_cast<std::size_t>(index)]; }
};

/// Which line of a score is the melody; nothing is needed where a score has one part, or one with words.
struct LineChoice {
  std::optional<std::string> part;  ///< number from 1, or name
  std::optional<std::string> tune;  ///< number (X:) in a file of several tunes
  std::optional<int> verse;         ///< of the words; without it, the k-th time through has verse k
  bool any() const { return part || tune || verse; }
};

/// Reads a melody, in a form that the content decides: melody text, CSV, or a score (MusicXML, compressed MusicXML, a
/// Standard MIDI file, ABC notation). Of a score, `text` is the melody text that it was turned into, and the notes have
/// no place in the file. `file` is the name shown in problems. Throws InputError with up to 20 problems (and a last one
/// counting the rest); also where `line` is given and the file is no score.
Melody read_melody(std::string_view bytes, const std::string& file, const LineChoice& line = {});
/// The same from a path. Also throws InputError when it is not a regular file, or is larger than 1 MiB (text and CSV)
/// or 16 MiB (scores).
Melody read_melody_file(const std::string& path, const LineChoice& line = {});

/// The melody with another concert pitch, another tuning, or both; target_hz is computed anew.
Melody with_tuning(Melody melody, std::optional<Hertz> a4, std::optional<Tuning> tuning);

/// The passage of a melody in these bars: their notes, of a bar that is played again those of its first time. Indices
/// and onsets are counted from its first note, the key is the one in force there, the title says which bars these are.
/// Throws InputError, with `name` as the place, when no note is in these bars.
Melody passage_of(Melody melody, const BarRange& bars, const std::string& name);

/// Whether two melodies are one object, or were read from the same text and are the same passage of it.
bool is_same_melody(const Melody& a, const Melody& b);

/// The interval from note `index` - 1 to note `index`; none for the first note.
std::optional<Interval> interval_into(const Melody& melody, int index);

/// The melody in the text format; reading it gives the same notes again. Made from `text` if that still has these
/// notes, so that sections, order and passes are kept; otherwise from `notes`, with one meter, and with sections only
/// if none is played twice.
std::string melody_as_text(const Melody& melody);
/// The melody as CSV with a header, a row for each note as performed; a rest is what lies between the end of a note and
/// the next `start_beats`. Reading it gives the same notes again; title, key, tempo, tuning and sections are not in it.
/// A word that a spreadsheet would take for a formula gets a leading apostrophe.
std::string melody_as_csv(const Melody& melody);
/// A description for the terminal, at most 78 columns wide: bars, beats, intervals, words and range, then the warnings.
std::string describe_melody(const Melody& melody);

}  // namespace firmus
