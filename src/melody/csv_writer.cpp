#include <fmt/format.h>

#include "beats.hpp"
#include "parsed_melody_of.hpp"
#include "unroll.hpp"

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

/// Quarter notes, since a CSV has no meter. Decimals where they are exact, since spreadsheets take 3/2 for a date. A
/// length with more digits than parse_beats reads is rounded to nine decimals.
std::string csv_beats(const Item& item) {
  const Fraction quarters = item.quarters();
  std::string decimals = decimal_text(quarters, 9);
  if (!decimals.empty()) return decimals;
  constexpr std::int64_t too_long = 1'000'000'000;
  return quarters.num < too_long && quarters.den < too_long ? beats_text(quarters)
                                                            : fmt::format("{:.9f}", quarters.value());
}

std::string_view kind_name(const Item& item) {
  return item.kind == ItemKind::rest ? "rest" : "hold";
}

}  // namespace
}  // namespace melody

std::string melody_as_csv(const Melody& melody) {
  using namespace melody;
  std::string csv = "note,beats,bar,word,phrase\r\n";
  int phrase = 1;
  bool phrase_has_notes = false;
  const ParsedMelody parsed = parsed_melody_of(melody);
  visit_unrolled(parsed, [&](const UnrolledItem& played) {
    const Item& item = *played.item;
    if (item.kind == ItemKind::breath) {
      if (phrase_has_notes) ++phrase;
      phrase_has_notes = false;
      return;
    }
    const bool is_note = item.kind == ItemKind::note;
    phrase_has_notes = phrase_has_notes || is_note;
    const std::string word = is_note ? word_in_pass(item, played.pass).value_or("") : "";
    csv += fmt::format("{},{},{},{},{}\r\n", is_note ? pitch_name(item.pitch) : std::string(kind_name(item)),
                       csv_beats(item), item.bar ? fmt::to_string(*item.bar) : "", csv_field(word), phrase);
  });
  return csv;
}

}  // namespace firmus
