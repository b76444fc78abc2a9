// Note names, intervals by spelling, keys, tunings and cents. Pure functions that depend on no other stage.
#pragma once
#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "firmus/enum_names.hpp"
#include "firmus/quantities.hpp"

namespace firmus {

/// 1200 log2(frequency / reference) (A. J. Ellis 1885). Both positive.
Cents cents_between(Hertz reference, Hertz frequency);

/// The frequency that lies `interval` above `reference` (below it where negative): the inverse of `cents_between`.
Hertz transposed(Hertz reference, Cents interval);

/// The number of octaves, up positive, that `interval` is within `within` of; 0 where it is near none.
int whole_octaves(Cents interval, Cents within);

/// MIDI key number (fractional; 69 = A4) of a frequency, and back: frequency = a4 * 2^((midi - 69) / 12) (MIDI 1.0
/// tuning formula).
double midi_from_hz(Hertz frequency, Hertz a4 = Hertz(440));
Hertz hz_from_midi(double midi, Hertz a4 = Hertz(440));

/// A spelled note in scientific pitch notation (C4 is middle C; the octave number changes at C, so Cb4 sounds as B3).
struct SpelledPitch {
  char letter = 'C';           ///< 'A' to 'G'
  int alter = 0;               ///< -2 (double flat) to +2 (double sharp), semitones
  int octave = 4;              ///< 0 to 9
  double deviation_cents = 0;  ///< from its pitch in the tuning, e.g. +50 for a quarter tone up
  friend bool operator==(const SpelledPitch&, const SpelledPitch&) = default;
};

int midi_key(const SpelledPitch& pitch);            ///< 60 for C4, 59 for Cb4; the deviation is not counted
std::string pitch_name(const SpelledPitch& pitch);  ///< "F#4", "Bb3", "C##5", "F#4+50", ASCII accidentals

/// What is wrong with a note name, and how to correct it.
struct PitchNameError {
  std::string what, remedy;
};
/// Reads "F#4", "bb3", "C\u266f5", "F#4+50". Either case of the letter; accidentals # b ## bb x and the Unicode signs,
/// natural too.
std::variant<SpelledPitch, PitchNameError> parse_pitch(std::string_view text);

enum class Direction { up, down, same };
constexpr auto enum_names(Direction) {
  using enum Direction;
  return std::to_array<EnumName<Direction>>({{up, "up"}, {down, "down"}, {same, "same"}});
}

/// An interval by spelling. `steps` is the distance in staff steps (0 unison, 2 a third, 7 an octave), `semitones` the
/// distance in semitones, positive in `direction`; negative for a spelling narrower than a diminished second (B#4 to
/// Cb5).
struct Interval {
  int steps = 0;
  int semitones = 0;
  Direction direction = Direction::same;
};
Interval interval_between(const SpelledPitch& from, const SpelledPitch& to);
std::string interval_name(const Interval& interval);  ///< "P1" "m2" "M6" "A4" "d5" "P8" "M10"

enum class Mode { major, minor, ionian, dorian, phrygian, lydian, mixolydian, aeolian, locrian };
constexpr auto enum_names(Mode) {
  using enum Mode;
  return std::to_array<EnumName<Mode>>({{major, "major"},
                                        {minor, "minor"},
                                        {ionian, "ionian"},
                                        {dorian, "dorian"},
                                        {phrygian, "phrygian"},
                                        {lydian, "lydian"},
                                        {mixolydian, "mixolydian"},
                                        {aeolian, "aeolian"},
                                        {locrian, "locrian"}});
}
struct Key {
  char letter = 'C';
  int alter = 0;
  Mode mode = Mode::major;
  friend bool operator==(const Key&, const Key&) = default;
};
/// Reads "D major", "F# minor", "E dorian" (any case), "Dm" (minor) and "D" (major). None when the text is not a key.
std::optional<Key> parse_key(std::string_view text);
std::string key_name(const Key& key);
/// The key of this mode with so many sharps in its signature, flats negative; none beyond seven, or where its tonic
/// would have two accidentals.
std::optional<Key> key_of_signature(int fifths, Mode mode);
/// Scale degree of a note in a key: "3", "raised 7", "lowered 6".
std::string scale_degree(const Key& key, const SpelledPitch& pitch);

enum class TuningKind { equal, just, pythagorean, meantone, offsets };
/// A twelve-note tuning: the deviation of each spelled note from equal temperament.
struct Tuning {
  TuningKind kind = TuningKind::equal;
  Key tonic;                              ///< for just: this note has its equal-tempered pitch
  std::array<double, 12> offset_cents{};  ///< for offsets: C to B, -100 to 100
};
/// Reads "equal", "just", "pythagorean", "meantone" or twelve numbers. `tonic` is the key of the melody (C major if it
/// has none). None for any other text.
std::optional<Tuning> parse_tuning(std::string_view text, const Key& tonic);
std::string tuning_name(const Tuning& tuning);
/// Cents from the equal-tempered pitch of the note: 0 for A4 in pythagorean and meantone, 0 for the tonic in just. Does
/// not include the note's own deviation.
Cents tuning_offset_cents(const Tuning& tuning, const SpelledPitch& pitch);
/// The frequency of a spelled note, its deviation included. `sounds_semitones`: from written to sounding pitch of a
/// transposing instrument.
Hertz target_hz(const SpelledPitch& pitch, const Tuning& tuning, Hertz a4, int sounds_semitones = 0);

/// The spelled note nearest to a sounding frequency in equal temperament at `a4`, spelled as in the key; without a
/// key as C# Eb F# G# Bb. Clamped to C0 to B9.
SpelledPitch nearest_pitch(Hertz frequency, Hertz a4, const std::optional<Key>& key = std::nullopt);

/// A note of the tuning, and how far above a written one it lies.
struct OtherNote {
  SpelledPitch pitch;
  Cents from_written_cents;
};
/// The note of the tuning, other than the written one, that is nearest to what was sung `error_cents` above it, spelled
/// as by `nearest_pitch`. To a written note with a deviation of its own the plain note is another one.
OtherNote nearest_other_note(const SpelledPitch& written, Cents error_cents, const Tuning& tuning,
                             const std::optional<Key>& key = std::nullopt);

}  // namespace firmus
