// A written score, whatever file it came from: parts of measures of notes, and the signs that say in which order the
// measures are played. MusicXML, MIDI and ABC are all read into a Score; `melody` makes a Melody of one of its parts.
//
//   bytes --read_score--> Score --chosen_part--> Part --play_order--> measures as performed
//
// Lengths and times are exact, in quarter notes. A measure is what stands between two bar lines; a bar that a repeat
// sign splits is two measures.
#pragma once
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "firmus/error.hpp"
#include "firmus/rhythm.hpp"
#include "firmus/theory.hpp"

namespace firmus::score {

struct Syllable {
  int verse = 1;
  std::string text;  ///< no white space but no-break spaces; "-" at the end joins it to the next
};

struct Note {
  Fraction at;         ///< from the begin of its measure
  Fraction length;     ///< 0 for a grace note
  SpelledPitch pitch;  ///< as the part has it
  bool grace = false;
  bool tie_begins = false;  ///< tied to the next note, if that has the same pitch and `tie_ends`
  bool tie_ends = false;    ///< may be the end of a tie
  bool fermata = false;
  bool breath_after = false;
  std::vector<Syllable> words;
};

/// What changes within a measure; what is not set stays as it was.
struct Change {
  Fraction at;  ///< from the begin of the measure
  std::optional<Key> key;
  std::optional<double> quarters_per_minute;
  std::optional<int> sounds_semitones;  ///< from written to sounding pitch
};

/// Signs for the order in which measures are played. Those that hold at the begin of the measure: `repeat_begins`,
/// `ending_begins`, `segno`, `coda`. At its end: the others.
struct Signs {
  bool repeat_begins = false;
  int repeat_times = 0;      ///< how often in all up to here; 0: no repeat sign at the end of the measure
  std::vector<int> endings;  ///< the numbers of the ending that begins here; empty: none begins
  bool ending_ends = false;
  bool segno = false, coda = false;
  bool fine = false, to_coda = false, da_capo = false, dal_segno = false;
};

struct Measure {
  int number = 0;           ///< printed
  Fraction from_bar_begin;  ///< above 0: the upbeat, or the rest of the bar of the measure before
  Fraction length;
  std::optional<Meter> meter;  ///< in force; none: no meter
  bool meter_printed = false;  ///< a meter stands here
  Signs signs;
  std::vector<Change> changes;  ///< by time
  std::vector<Note> notes;      ///< by time, none overlapping

  bool continues_bar() const { return Fraction(0) < from_bar_begin; }
};

struct Part {
  std::string name, id;    ///< may be empty
  bool unpitched = false;  ///< percussion: notes without pitch and none with one
  std::vector<Measure> measures;
  /// Stretches of measures, first and end, in the order in which they are played, each with its own repeats; empty:
  /// all.
  std::vector<std::pair<std::size_t, std::size_t>> order;
  std::vector<Problem> warnings;  ///< what was left out of it or guessed, one line each

  bool has_notes() const;
  bool has_words() const;
};

struct Score {
  std::string title;
  std::vector<Part> parts;        ///< in the order of the file
  std::vector<Problem> warnings;  ///< what concerns all parts
  /// ABC has the words under one voice, though all of them sing it: they do not tell which is the melody.
  bool words_are_shared = false;
};

/// The limits of every format. More is refused: no song has it, and hostile files do.
constexpr std::size_t largest_file_bytes = 16 << 20;      ///< of the file
constexpr std::size_t largest_unpacked_bytes = 64 << 20;  ///< of compressed MusicXML, unpacked
constexpr std::size_t most_score_notes = 300'000;         ///< in all parts
constexpr std::size_t most_played_measures = 20'000;

enum class Format { musicxml, compressed_musicxml, midi, abc };
/// The format by content; none where it is none of these.
std::optional<Format> score_format(std::string_view bytes);

/// Reads a score. `file` is the name shown in problems; `tune` picks one by its number in a file of several tunes
/// (ABC). Of each part, the line of the voice with the lowest number on the upper staff is read. Throws InputError.
Score read_score(std::string_view bytes, Format format, const std::string& file,
                 const std::optional<std::string>& tune);

/// The part by number (from 1) or name; without one, the only part, else the only part with words (not where words are
/// shared). Throws InputError, which lists the parts, where there is no such part or none can be chosen, or where it
/// has no pitched notes.
const Part& chosen_part(const Score& score, const std::optional<std::string>& part, const std::string& file);

/// A measure as it is played.
struct PlayedMeasure {
  std::size_t index = 0;
  int time = 1;  ///< how often it has been played, this time included
};
/// The measures in the order in which they are played: repeats, endings and jumps played out. After a jump no repeat is
/// taken again, and of the endings the last. Empty where there would be more than most_played_measures.
std::vector<PlayedMeasure> play_order(const Part& part);

}  // namespace firmus::score
