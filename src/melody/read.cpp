#include "read.hpp"

#include <fmt/format.h>

#include "bars.hpp"
#include "base/input_file.hpp"
#include "csv_reader.hpp"
#include "play.hpp"
#include "source.hpp"
#include "text_reader.hpp"

namespace firmus {
namespace sheet {
namespace {

Sheet read_by_content(std::string_view text, Diagnostics& errors, Diagnostics& warnings) {
  if (const auto separator = csv_separator(text)) return read_csv(text, *separator, errors, warnings);
  if (is_csv_without_names(text)) {
    errors.add({}, "looks like CSV without the names of its columns", "write note,beats into the first line");
    return {};
  }
  return read_text(text, errors, warnings);
}

void warn_of_just_without_key(const Sheet& sheet, const Tuning& tuning, Diagnostics& warnings) {
  if (tuning.kind == TuningKind::just && !sheet.first_key)
    warnings.add(sheet.tuning->spot, "just tuning without a key is tuned on C",
                 "give the key, such as \"key: D major\"");
}

/// The twelve offsets and the names need no key; just tuning stands on the first key given.
Tuning tuning_of(const Sheet& sheet) {
  const Key tonic = sheet.first_key.value_or(Key{});
  const auto tuning = sheet.tuning ? parse_tuning(sheet.tuning->name, tonic) : std::nullopt;
  return tuning.value_or(Tuning{TuningKind::equal, tonic, {}});
}

}  // namespace

Sheet read_sheet(std::string_view text, const std::string& file, Diagnostics& warnings) {
  check_is_text(text, file);
  Diagnostics errors(file, "error");
  Sheet sheet = read_by_content(without_byte_order_mark(text), errors, warnings);
  errors.throw_if_any();
  resolve_order(sheet, errors, warnings);
  errors.throw_if_any();
  within_limits(sheet, errors);
  errors.throw_if_any();
  count_bars(sheet, errors, warnings);
  errors.throw_if_any();
  check_key_signature(sheet, warnings);
  warn_of_just_without_key(sheet, tuning_of(sheet), warnings);
  return sheet;
}

namespace {

/// The header counts notes before they are there.
void require_drilled_notes(const Sheet& sheet, std::size_t notes, Diagnostics& errors) {
  if (sheet.drill && static_cast<std::size_t>(sheet.drill->notes.back()) >= notes)
    errors.add(sheet.drill_spot, fmt::format("there is no note {}", sheet.drill->notes.back() + 1),
               fmt::format("the melody has {} notes, played out", notes));
}

}  // namespace

Melody play_sheet(const Sheet& sheet, const std::string& file) {
  Diagnostics errors(file, "error");
  Melody melody;
  melody.notes = play_out(sheet, errors);
  require_drilled_notes(sheet, melody.notes.size(), errors);
  errors.throw_if_any();
  melody.title = sheet.title;
  melody.key = sheet.first_key;
  melody.meter = sheet.first_meter;
  if (sheet.first_tempo) melody.tempo_text = sheet.tempos[*sheet.first_tempo].text;
  melody.tuning = tuning_of(sheet);
  melody.a4_hz = sheet.a4_hz;
  melody.sounds_semitones = sheet.sounds_semitones;
  melody.reference = sheet.reference;
  melody.drill = sheet.drill;
  return retuned(std::move(melody), std::nullopt, std::nullopt);
}

}  // namespace sheet

Melody read_melody_file(const std::string& path) {
  return read_melody(read_input_file(path, {"melody", 1 << 20}), path);
}

Melody read_melody(std::string_view text, const std::string& file) {
  Diagnostics warnings(file, "warning");
  const sheet::Sheet sheet = sheet::read_sheet(text, file, warnings);
  Melody melody = sheet::play_sheet(sheet, file);
  melody.text = text;
  melody.sha256 = sha256_hex(text);
  melody.warnings = warnings.listed();
  return melody;
}

}  // namespace firmus
