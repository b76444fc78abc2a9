#include "firmus/take.hpp"
#include "json_fields.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

Json recording_of(const SignalQuality& signal_quality, const PrecisionSummary& trust) {
  Json recording = json_object(signal_quality_fields(), signal_quality);
  recording["warnings"] = json_list(warning_fields(), signal_quality.warnings);
  recording["trust"] = json_object(precision_fields(), trust);
  return recording;
}

/// Without a melody there is no alignment: the keys are written with null, `tries` as an empty array.
Json alignment_of(const Result& result) {
  Json alignment = json_object(alignment_fields(), result);
  alignment["tries"] = result.melody ? json_list(attempt_fields(), result.attempts) : Json::array();
  return alignment;
}

Json drill_of(const DrillProgress& drill) {
  Json object = json_object(aim_fields(), drill.aim);
  add_to(object, drill_fields(), drill);
  return object;
}

Json since_of(const Since& since) {
  Json object = json_object(since_fields(), since);
  object["solved"] = json_list(since_finding_fields(), since.solved);
  object["new"] = json_list(since_finding_fields(), since.appeared);
  return object;
}

void add_measurement(Json& object, const Result& result) {
  object["recording"] = recording_of(result.signal_quality, result.trust);
  object["melody"] = result.melody ? json_object(melody_fields(), *result.melody) : Json();
  if (result.melody && result.melody->from_take) object["melody_from_take"] = true;
  object["alignment"] = alignment_of(result);
  add_to(object, centre_fields(), result);
  object["stretches"] = json_list(key_segment_fields(), result.key_segments);
  add_to(object, tempo_fields(), result);
  object["notes"] = json_list(note_fields(), result.notes);
  object["chronic"] = json_list(habit_fields(), result.habits);
  object["summary"] = json_object(summary_fields(), result.summary);
  if (result.drill) object["drill"] = drill_of(*result.drill);
  if (result.since) object["since"] = since_of(*result.since);
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string as_json(const Result& result) {
  Json object = {
      {"schema", "firmus.take/1"},
      {"program", {{"version", std::string(program_version())}, {"measurement", std::string(measurement_version())}}}};
  if (!result.error) object["settings"] = json_object(settings_fields(), result.settings);
  object["context"] = json_object(context_fields(), result.context);
  object["take"] = json_object(recording_info_fields(), result.take);
  if (result.error) {
    object["error"] = json_object(not_measured_fields(), *result.error);
  } else {
    add_measurement(object, result);
  }
  return object.dump();
}

}  // namespace firmus
