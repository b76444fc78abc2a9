#include "firmus/read_result.hpp"

#include "row_fields.hpp"

namespace firmus::report {
namespace {

constexpr std::string_view schema_read = "firmus.take/1";

template <class Row>
Row row_in(std::span<const Field<Row>> fields, const JsonIn& object, int written_notes = any_int) {
  Row row;
  read_fields(fields, row, object, written_notes);
  return row;
}

template <class Row>
std::vector<Row> rows_in(std::span<const Field<Row>> fields, const JsonIn& object, std::string_view key,
                         int written_notes = any_int) {
  return list_in(object, key, [&](const JsonIn& item) { return row_in(fields, item, written_notes); });
}

DrillProgress drill_in(const JsonIn& drill) {
  DrillProgress read;
  read_fields(aim_fields(), read.aim, drill);
  read_fields(drill_fields(), read, drill);
  return read;
}

Since since_in(const JsonIn& since, int written_notes) {
  Since read = row_in(since_fields(), since);
  read.solved = rows_in(since_finding_fields(), since, "solved", written_notes);
  read.appeared = rows_in(since_finding_fields(), since, "new", written_notes);
  return read;
}

/// Without a melody there is no alignment: its values are null and are not read.
void read_melody_and_alignment(Result& result, const JsonIn& root) {
  const auto melody = root.find("melody");
  if (!melody) return;
  result.melody = row_in(melody_fields(), *melody);
  if (const auto from_take = root.find("melody_from_take")) result.melody->from_take = from_take->boolean();
  const JsonIn alignment = root.at("alignment");
  read_fields(alignment_fields(), result, alignment);
  result.attempts = rows_in(attempt_fields(), alignment, "tries", result.melody->written_notes);
}

void read_measurement(Result& result, const JsonIn& root) {
  result.settings = row_in(settings_fields(), root.at("settings"));
  const JsonIn recording = root.at("recording");
  result.signal_quality = row_in(signal_quality_fields(), recording);
  result.signal_quality.warnings = rows_in(warning_fields(), recording, "warnings");
  if (const auto trust = recording.find("trust")) result.trust = row_in(precision_fields(), *trust);
  read_melody_and_alignment(result, root);
  read_fields(centre_fields(), result, root);
  read_fields(tempo_fields(), result, root);
  const int written = result.melody ? result.melody->written_notes : most_written_notes;
  result.key_segments = rows_in(key_segment_fields(), root, "stretches", written);
  result.notes = rows_in(note_fields(), root, "notes", written);
  result.habits = rows_in(habit_fields(), root, "chronic", written);
  result.summary = row_in(summary_fields(), root.at("summary"));
  if (const auto drill = root.find("drill")) result.drill = drill_in(*drill);
  if (const auto since = root.find("since")) result.since = since_in(*since, written);
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

Result read_result(std::string_view json, const std::string& name) {
  const JsonSource source(json, name, "give a result as \"firmus check --out\" writes it");
  const JsonIn root(source);
  const JsonIn found = root.at("schema");
  if (found.text() != schema_read) found.reject("is \"" + found.text() + "\"", "firmus reads \"firmus.take/1\"");
  Result result;
  result.context = row_in(context_fields(), root.at("context"));
  result.take = row_in(recording_info_fields(), root.at("take"));
  if (const auto error = root.find("error")) {
    result.error = row_in(not_measured_fields(), *error);
  } else {
    root.at("notes");  // throws when the key is missing: every measured take has it
    read_measurement(result, root);
  }
  return result;
}

}  // namespace firmus
