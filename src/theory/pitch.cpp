#include <fmt/format.h>

#include <cmath>

#include "base/ascii.hpp"
#include "chain.hpp"
#include "firmus/theory.hpp"
#include "words.hpp"

namespace firmus {
namespace {

using theory::accidental_text;

/// A deviation of more than a whole tone should be written as another note.
constexpr double largest_deviation_cents = 200.0;

char upper(char c) {
  return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

struct ForeignName {
  std::string_view name, ours;
};

/// The name in another language that equals the leading letters of `text`.
const ForeignName* foreign_name(std::string_view text) {
  static constexpr std::array<ForeignName, 27> names{
      {{"do", "C"},   {"ut", "C"},   {"re", "D"},   {"mi", "E"},   {"fa", "F"},   {"sol", "G"},  {"so", "G"},
       {"la", "A"},   {"si", "B"},   {"ti", "B"},   {"h", "B"},    {"ces", "Cb"}, {"des", "Db"}, {"es", "Eb"},
       {"ees", "Eb"}, {"fes", "Fb"}, {"ges", "Gb"}, {"as", "Ab"},  {"aes", "Ab"}, {"bes", "Bb"}, {"cis", "C#"},
       {"dis", "D#"}, {"eis", "E#"}, {"fis", "F#"}, {"gis", "G#"}, {"ais", "A#"}, {"his", "B#"}}};
  const std::string lowered = lower_ascii(text);
  std::size_t letters = 0;
  while (letters < lowered.size() && lowered[letters] >= 'a' && lowered[letters] <= 'z') ++letters;
  for (const ForeignName& name : names)
    if (lowered.substr(0, letters) == name.name) return &name;
  return nullptr;
}

/// The first digit in an invalid name, for a suggestion; else the octave of middle C.
char octave_in(std::string_view text) {
  for (const char c : text)
    if (is_digit(c)) return c;
  return '4';
}

PitchNameError no_note(std::string_view text) {
  if (const ForeignName* foreign = foreign_name(text))
    return {fmt::format("\"{}\" is a note name of another system", text),
            fmt::format("write {}{}", foreign->ours, octave_in(text))};
  return {fmt::format("\"{}\" is not a note", text), "write a letter A to G, # or b, and an octave: F#4"};
}

/// The error for a name without a valid octave: none, one with a sign, or other text in its place.
PitchNameError no_octave(std::string_view text, const SpelledPitch& pitch, std::string_view rest) {
  if (theory::read_accidental(rest).bytes > 0)
    return {fmt::format("\"{}\" has more accidentals than a note can", text), "write one of # b ## bb"};
  if (const ForeignName* foreign = foreign_name(text))
    return {fmt::format("\"{}\" is a note name of another system", text),
            fmt::format("write {}{}", foreign->ours, octave_in(text))};
  const std::string name = fmt::format("{}{}4", pitch.letter, accidental_text(pitch.alter));
  if (rest.empty()) return {fmt::format("\"{}\" has no octave", text), "write " + name + " (C4 is middle C)"};
  if (rest.front() == '-' || rest.front() == '+')
    return {fmt::format("\"{}\" has no octave from 0 to 9", text), "write " + name + " (C4 is middle C)"};
  return no_note(text);
}

PitchNameError bad_ending(std::string_view text, const SpelledPitch& pitch, std::string_view rest) {
  const theory::Accidental accidental = theory::read_accidental(rest);
  if (accidental.bytes > 0)
    return {fmt::format("\"{}\" has its accidental behind the octave", text),
            fmt::format("write {}{}{}", pitch.letter, accidental_text(accidental.alter), pitch.octave)};
  if (is_digit(rest.front()))
    return {fmt::format("\"{}\" has no octave from 0 to 9", text), "write its octave as one figure (C4 is middle C)"};
  if (rest == "." || rest == "..")
    return {fmt::format("\"{}\" is dotted", text), fmt::format("a dotted note has its length behind a colon: {}:{}",
                                                               pitch_name(pitch), rest == "." ? "1.5" : "1.75")};
  return {fmt::format("\"{}\" has \"{}\" behind its octave", text, rest),
          fmt::format("write {0} alone, or {0}+50 for a quarter tone up", pitch_name(pitch))};
}

/// "+50" or "-12.5".
std::optional<double> parse_deviation(std::string_view text) {
  const std::optional<double> cents = theory::parse_cents(text);
  return cents && std::fabs(*cents) <= largest_deviation_cents ? cents : std::nullopt;
}

}  // namespace

int midi_key(const SpelledPitch& pitch) {
  return 12 * (pitch.octave + 1) + theory::natural_semitones(pitch.letter) + pitch.alter;
}

std::string pitch_name(const SpelledPitch& pitch) {
  const double cents = std::round(pitch.deviation_cents * 1000.0) / 1000.0;
  const std::string deviation = cents == 0 ? std::string() : fmt::format("{:+}", cents);
  return fmt::format("{}{}{}{}", pitch.letter, accidental_text(pitch.alter), pitch.octave, deviation);
}

std::variant<SpelledPitch, PitchNameError> parse_pitch(std::string_view text) {
  SpelledPitch pitch;
  if (text.empty()) return no_note(text);
  pitch.letter = upper(text.front());
  if (pitch.letter < 'A' || pitch.letter > 'G') return no_note(text);
  std::string_view rest = text.substr(1);
  const theory::Accidental accidental = theory::read_accidental(rest);
  pitch.alter = accidental.alter;
  rest.remove_prefix(accidental.bytes);
  if (rest.empty() || !is_digit(rest.front())) return no_octave(text, pitch, rest);
  pitch.octave = rest.front() - '0';
  rest.remove_prefix(1);
  if (rest.empty()) return pitch;
  if (rest.front() != '+' && rest.front() != '-') return bad_ending(text, pitch, rest);
  const std::optional<double> deviation = parse_deviation(rest);
  if (!deviation)
    return PitchNameError{fmt::format("\"{}\" in \"{}\" is not a deviation in cents", rest, text),
                          fmt::format("write {0}+50 or {0}-12.5, at most 200 either way", pitch_name(pitch))};
  pitch.deviation_cents = *deviation;
  return pitch;
}

}  // namespace firmus
