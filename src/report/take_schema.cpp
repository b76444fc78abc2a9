// The JSON Schema of firmus.take/1, from the tables of fields.
#include "json_fields.hpp"
#include "row_fields.hpp"

namespace firmus::report {
namespace {

Json nullable(Json object) {
  object["type"] = Json::array({"object", "null"});
  return object;
}

Json must_be(std::initializer_list<std::pair<const char*, const char*>> types) {
  Json properties = Json::object();
  for (const auto& [key, type] : types) properties[key] = {{"type", type}};
  return {{"properties", std::move(properties)}};
}

/// Dependencies between the fields of a note: a missing note has no times, an unclear one has a reason.
Json note_schema() {
  Json note = object_schema(note_fields());
  const Json missing =
      Json::array({std::string(to_string(NoteStatus::missing)), std::string(to_string(NoteStatus::optional_left_out))});
  const Json unclear = std::string(to_string(Verdict::unclear));
  note["allOf"] = Json::array({Json{{"if", {{"properties", {{"status", {{"enum", missing}}}}}}},
                                    {"then", must_be({{"index", "integer"},
                                                      {"verdict", "null"},
                                                      {"onset_s", "null"},
                                                      {"end_s", "null"},
                                                      {"sung_hz", "null"}})},
                                    {"else", must_be({{"onset_s", "number"}, {"end_s", "number"}})}},
                               Json{{"if", {{"properties", {{"verdict", {{"const", unclear}}}}}}},
                                    {"then", must_be({{"unclear_reason", "string"}})},
                                    {"else", must_be({{"unclear_reason", "null"}})}}});
  return note;
}

Json recording_schema() {
  Json recording = object_schema(signal_quality_fields());
  add_property(recording, "warnings", list_schema(object_schema(warning_fields())));
  add_property(recording, "trust",
               described(object_schema(precision_fields()), "so many notes can be trusted to so many cents"));
  return recording;
}

Json alignment_schema() {
  Json alignment = object_schema(alignment_fields());
  add_property(alignment, "tries", list_schema(object_schema(attempt_fields())));
  return alignment;
}

Json since_schema() {
  Json since = object_schema(since_fields());
  add_property(since, "solved", list_schema(object_schema(since_finding_fields()), "there then, not now"));
  add_property(since, "new", list_schema(object_schema(since_finding_fields()), "here now, not then"));
  return described(std::move(since), "Only with --since: this take compared with an earlier one of the same melody");
}

/// The keys that only a measured take has.
Json measured_schema() {
  Json measured = {{"required", Json::array()}, {"properties", Json::object()}};
  add_property(measured, "settings", object_schema(settings_fields()));
  add_property(measured, "recording", recording_schema());
  add_property(measured, "melody", nullable(object_schema(melody_fields())));
  add_property(measured, "alignment", alignment_schema());
  measured = object_schema(centre_fields(), std::move(measured));
  add_property(measured, "stretches", list_schema(object_schema(key_segment_fields())));
  measured = object_schema(tempo_fields(), std::move(measured));
  add_property(measured, "notes", list_schema(note_schema()));
  add_property(measured, "chronic", list_schema(object_schema(habit_fields())));
  add_property(measured, "summary", object_schema(summary_fields()));
  return measured;
}

Json take_schema() {
  Json schema = schema_head(
      "take",
      "The result of one take. Null: not measured. Cents, seconds and hertz; fields may be added, never renamed.");
  add_property(schema, "context", object_schema(context_fields()));
  add_property(schema, "take", object_schema(recording_info_fields()));
  Json& properties = schema["properties"];
  properties["error"] = described(object_schema(not_measured_fields()), "why the take was not measured");
  const Json measured = measured_schema();
  for (const auto& [key, value] : measured["properties"].items()) properties[key] = value;
  properties["drill"] = described(object_schema(drill_fields(), object_schema(aim_fields())),
                                  "Only where the melody is a drill: how the notes that it is about went");
  properties["melody_from_take"] = described(
      {{"type", "boolean"}}, "Only without a melody, with --key: melody holds the notes of the take as named");
  properties["since"] = since_schema();
  schema["if"] = {{"required", Json::array({"error"})}};
  schema["then"] = {{"not",
                     {{"anyOf", Json::array({Json{{"required", Json::array({"notes"})}},
                                             Json{{"required", Json::array({"summary"})}}})}}}};
  schema["else"] = {{"required", measured["required"]}};
  return schema;
}

}  // namespace
}  // namespace firmus::report

namespace firmus {

std::string json_schema() {
  return report::schema_text(report::take_schema());
}

}  // namespace firmus
