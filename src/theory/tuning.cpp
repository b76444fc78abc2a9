#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "chain.hpp"
#include "firmus/theory.hpp"
#include "words.hpp"

namespace firmus {
namespace {

// Difference in cents of each pure interval from its equal-tempered size, in closed form.
const double pure_fifth_offset_cents = 1200.0 * std::log2(3.0 / 2.0) - 700.0;  // +1.95500
const double pure_third_offset_cents = 1200.0 * std::log2(5.0 / 4.0) - 400.0;  // -13.68629
const double meantone_fifth_offset_cents = 300.0 * std::log2(5.0) - 700.0;     // -3.42157: fifth of 5^(1/4)

/// Number of pure thirds, each in place of four fifths, between the tonic and a note. This gives Ellis's duodene
/// (appendix to Helmholtz): F C G D in pure fifths, A E B F# a pure third above them, Db Ab Eb Bb one below (16:15 9:8
/// 6:5 5:4 4:3 45:32 3:2 8:5 5:3 9:5 15:8). The other notes continue it symmetrically: diminished fifth 64:45,
/// augmented unison 25:24, diminished octave 48:25. The minor seventh is the exception: 9:5, a pure fifth above the
/// minor third, not 16:9.
int thirds_for(int fifths) {
  if (fifths >= -1) return (fifths + 1) / 4;
  return fifths == -2 ? -1 : -((1 - fifths) / 4);
}

double just_offset_cents(int fifths_from_tonic) {
  const int thirds = thirds_for(fifths_from_tonic);
  return (fifths_from_tonic - 4 * thirds) * pure_fifth_offset_cents + thirds * pure_third_offset_cents;
}

double chain_offset_cents(const Tuning& tuning, int fifths) {
  const int from_a = fifths - theory::fifths_of('A', 0);
  if (tuning.kind == TuningKind::pythagorean) return from_a * pure_fifth_offset_cents;
  if (tuning.kind == TuningKind::meantone) return from_a * meantone_fifth_offset_cents;
  return 0;
}

/// Fifths by which a transposition moves a spelled note: minor, major and perfect intervals, with six semitones as an
/// augmented fourth.
int fifths_of_transposition(int semitones) {
  return theory::modulo(7 * semitones + 5, 12) - 5;
}

/// Offset of the note that sounds when `pitch` is written: the tonic of `just` is transposed with it.
double sounding_offset_cents(const Tuning& tuning, const SpelledPitch& pitch, int sounds_semitones) {
  const int fifths = theory::fifths_of(pitch.letter, pitch.alter);
  if (tuning.kind == TuningKind::just)
    return just_offset_cents(fifths - theory::fifths_of(tuning.tonic.letter, tuning.tonic.alter));
  if (tuning.kind == TuningKind::offsets)
    return tuning.offset_cents[static_cast<std::size_t>(theory::modulo(midi_key(pitch) + sounds_semitones, 12))];
  return chain_offset_cents(tuning, fifths + fifths_of_transposition(sounds_semitones));
}

/// Removes the first word from `text` and returns it.
std::string_view take_word(std::string_view& text) {
  const std::size_t end = std::min(text.find_first_of(" \t"), text.size());
  const std::string_view word = text.substr(0, end);
  text = theory::trimmed(text.substr(end));
  return word;
}

std::optional<Tuning> parse_offsets(std::string_view text) {
  Tuning tuning;
  tuning.kind = TuningKind::offsets;
  for (double& offset : tuning.offset_cents) {
    const std::optional<double> value = theory::parse_cents(take_word(text));
    if (!value || !(*value >= -100.0 && *value <= 100.0)) return std::nullopt;
    offset = *value;
  }
  return text.empty() ? std::optional(tuning) : std::nullopt;
}

struct KindName {
  std::string_view name;
  TuningKind kind;
};
constexpr std::array<KindName, 4> kind_names{{{"equal", TuningKind::equal},
                                              {"just", TuningKind::just},
                                              {"pythagorean", TuningKind::pythagorean},
                                              {"meantone", TuningKind::meantone}}};

}  // namespace

std::optional<Tuning> parse_tuning(std::string_view text, const Key& tonic) {
  text = theory::trimmed(text);
  for (const KindName& entry : kind_names)
    if (theory::equal_but_for_case(text, entry.name)) return Tuning{entry.kind, tonic, {}};
  std::optional<Tuning> tuning = parse_offsets(text);
  if (tuning) tuning->tonic = tonic;
  return tuning;
}

std::string tuning_name(const Tuning& tuning) {
  for (const KindName& entry : kind_names)
    if (entry.kind == tuning.kind) return std::string(entry.name);
  std::string text;
  for (const double offset : tuning.offset_cents) text += fmt::format("{}{}", text.empty() ? "" : " ", offset);
  return text;
}

Cents tuning_offset_cents(const Tuning& tuning, const SpelledPitch& pitch) {
  return Cents(sounding_offset_cents(tuning, pitch, 0));
}

Hertz target_hz(const SpelledPitch& pitch, const Tuning& tuning, Hertz a4, int sounds_semitones) {
  const double offset_cents = sounding_offset_cents(tuning, pitch, sounds_semitones) + pitch.deviation_cents;
  return hz_from_midi(midi_key(pitch) + sounds_semitones + offset_cents / 100.0, a4);
}

}  // namespace firmus
