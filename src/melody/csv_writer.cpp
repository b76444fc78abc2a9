#include <fmt/format.h>

#include "beats.hpp"
#include "firmus/melody.hpp"

namespace firmus {
namespace melody {
namespace {

/// RFC 4180; a cell that a spreadsheet would take for a formula gets a leading apostrophe.
std::string csv_field(std::string_view word) {
  const bool runs = !word.empty() && std::string_view("=+-@").find(word.front()) != std::string_view::npos;
  const std::string_view guard = runs ? "'" : "";
  if (word.find_first_of(",;\"\t\r\n") == std::string_view::npos) return fmt::format("{}{}", guard, word);
  std::string doubled;
  for (const char c : word) {
    if (c == '"') doubled += c;
    doubled += c;
  }
  return fmt::format("\"{}{}\"", guard, doubled);
}

/// Decimals where they are exact, since spreadsheets take 3/2 for a date; else "0 1/3", "5 1/3", which they
/// read. A number with more digits
/// than parse_beats reads is rounded to nine decimals.
std::string csv_number(const Fraction& number) {
  std::string decimals = decimal_text(number, 9);
  if (!decimals.empty()) return decimals;
  constexpr std::int64_t too_long = 1'000'000'000;
  if (number.num >= too_long || number.den >= too_long) return fmt::format("{:.9f}", number.value());
  return fmt::format("{} {}/{}", number.num / number.den, number.num % number.den, number.den);
}

std::string csv_row(const WrittenNote& note) {
  const double sounding = midi_key(note.pitch) + note.sounds_semitones + note.pitch.deviation_cents / 100;
  return fmt::format("{},{},{},{},{},{},{:.7g},{},{},{},{},{},{}\r\n", note.index,
                     note.bar ? fmt::to_string(*note.bar) : "", note.beat ? csv_number(*note.beat) : "",
                     csv_number(note.onset_beats), csv_number(note.beats), pitch_name(note.pitch), sounding,
                     csv_field(note.word.value_or("")), note.grace ? "1" : "", note.mark == NoteMark::free ? "1" : "",
                     note.phrase, note.mark == NoteMark::maybe ? "1" : "",
                     note.meter ? fmt::format("{}/{}", note.meter->count, note.meter->unit) : "");
}

}  // namespace
}  // namespace melody

std::string melody_as_csv(const Melody& melody) {
  std::string csv = "index,bar,beat,start_beats,beats,written,sounding_midi,word,grace,fermata,phrase,maybe,meter\r\n";
  for (const WrittenNote& note : melody.notes) csv += melody::csv_row(note);
  return csv;
}

}  // namespace firmus
