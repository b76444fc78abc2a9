#include "read.hpp"

#include <fmt/format.h>

#include "bars.hpp"
#include "base/input_file.hpp"
#include "csv_reader.hpp"
#include "score/score.hpp"
#include "score_line.hpp"
#include "source.hpp"
#include "text_reader.hpp"
#include "unroll.hpp"

namespace firmus {
namespace melody {
namespace {

ParsedMelody read_by_content(std::string_view text, Diagnostics& errors, Diagnostics& warnings) {
  if (const auto separator = csv_separator(text)) return read_csv(text, *separator, errors, warnings);
  if (is_csv_without_header(text)) {
    errors.add({}, "looks like CSV without the names of its columns", "write note,beats into the first line");
    return {};
  }
  return read_text(text, errors, warnings);
}

void warn_of_just_without_key(const ParsedMelody& parsed, const Tuning& tuning, Diagnostics& warnings) {
  if (tuning.kind == TuningKind::just && !parsed.first_key)
    warnings.add(parsed.tuning->position, "just tuning without a key is tuned on C",
                 "give the key, such as \"key: D major\"");
}

/// Just tuning takes the first key as its tonic; the other tunings need no key.
Tuning tuning_of(const ParsedMelody& parsed) {
  const Key tonic = parsed.first_key.value_or(Key{});
  const auto tuning = parsed.tuning ? parse_tuning(parsed.tuning->name, tonic) : std::nullopt;
  return tuning.value_or(Tuning{TuningKind::equal, tonic, {}});
}

}  // namespace

void lay_out(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings) {
  errors.throw_if_any();
  resolve_order(parsed, errors, warnings);
  errors.throw_if_any();
  within_limits(parsed, errors);
  errors.throw_if_any();
  count_bars(parsed, errors, warnings);
  errors.throw_if_any();
}

ParsedMelody parse_melody(std::string_view text, const std::string& file, Diagnostics& warnings) {
  check_is_text(text, file);
  Diagnostics errors(file, "error");
  ParsedMelody parsed = read_by_content(without_byte_order_mark(text), errors, warnings);
  lay_out(parsed, errors, warnings);
  check_key_signature(parsed, warnings);
  warn_of_just_without_key(parsed, tuning_of(parsed), warnings);
  return parsed;
}

namespace {

/// Checked here because the header stands before the notes that it refers to.
void require_drilled_notes(const ParsedMelody& parsed, std::size_t notes, Diagnostics& errors) {
  if (parsed.drill && static_cast<std::size_t>(parsed.drill->notes.back()) >= notes)
    errors.add(parsed.drill_position, fmt::format("there is not a note {}", parsed.drill->notes.back() + 1),
               fmt::format("the melody has {} notes, played out", notes));
}

}  // namespace

Melody unroll_melody(const ParsedMelody& parsed, const std::string& file) {
  Diagnostics errors(file, "error");
  Melody melody;
  melody.notes = unroll(parsed, errors);
  require_drilled_notes(parsed, melody.notes.size(), errors);
  errors.throw_if_any();
  melody.title = parsed.title;
  melody.key = parsed.first_key;
  melody.meter = parsed.first_meter;
  if (parsed.first_tempo) melody.tempo_text = parsed.tempos[*parsed.first_tempo].text;
  melody.tuning = tuning_of(parsed);
  melody.a4_hz = parsed.a4_hz;
  melody.sounds_semitones = parsed.sounds_semitones;
  melody.reference = parsed.reference;
  melody.drill = parsed.drill;
  return with_tuning(std::move(melody), std::nullopt, std::nullopt);
}

}  // namespace melody

Melody read_melody_file(const std::string& path, const LineChoice& line) {
  return read_melody(read_input_file(path, {"melody", score::largest_file_bytes}), path, line);
}

namespace melody {
namespace {

Melody read_plain(std::string_view text, const std::string& file) {
  Diagnostics warnings(file, "warning");
  Melody melody = unroll_melody(parse_melody(text, file, warnings), file);
  melody.text = text;
  melody.sha256 = sha256_hex(text);
  melody.warnings = warnings.listed();
  return melody;
}

/// The notes come from the text that the score is turned into, so that this text, kept in results, has the same.
Melody read_line_of_score(std::string_view bytes, score::Format format, const std::string& file,
                          const LineChoice& line) {
  const score::Score score = score::read_score(bytes, format, file, line.tune);
  const score::Part& part = score::chosen_part(score, line.part, file);
  Melody melody = read_plain(text_of_score(score, part, line.verse, file), file);
  for (WrittenNote& note : melody.notes) note.line = note.column = 0;
  melody.warnings = score.warnings;
  melody.warnings.insert(melody.warnings.end(), part.warnings.begin(), part.warnings.end());
  return melody;
}

[[noreturn]] void refuse_choice(const std::string& file, const LineChoice& line) {
  const std::string_view option = line.part ? "--part" : line.tune ? "--tune" : "--verse";
  throw InputError(
      Problem{{file, 0, 0}, fmt::format("{} chooses from a score; this melody has one line", option), "leave it out"});
}

}  // namespace
}  // namespace melody

Melody read_melody(std::string_view bytes, const std::string& file, const LineChoice& line) {
  if (const auto format = score::score_format(bytes)) return melody::read_line_of_score(bytes, *format, file, line);
  if (line.any()) melody::refuse_choice(file, line);
  return melody::read_plain(bytes, file);
}

}  // namespace firmus
