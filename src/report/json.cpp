#include "fields.hpp"
#include "firmus/report.hpp"
#include "json_values.hpp"

namespace firmus {
using namespace report;
namespace {

Json seconds(const std::optional<double>& value) {
  return to_json(cell_of(value, seconds_decimals));
}
Json hz(const std::optional<double>& value) {
  return to_json(cell_of(value, hz_decimals));
}
Json decibels(const std::optional<double>& value) {
  return to_json(cell_of(value, 1));
}

Json context_of(const Context& context) {
  return {{"student", text_json(context.student)},
          {"assignment", text_json(context.assignment)},
          {"piece", text_json(context.piece)},
          {"date", text_json(context.date)}};
}

Json take_of(const RecordingInfo& take) {
  return {{"name", as_utf8(take.name)},
          {"sha256", text_json(take.sha256)},
          {"sample_rate_hz", or_null(take.sample_rate_hz)},
          {"channels", or_null(take.channels)},
          {"duration_s", seconds(take.duration_s)}};
}

Json settings_of(const Settings& settings) {
  return {{"reference", std::string(to_string(settings.reference))},
          {"tolerance_cents", to_json(Number{settings.tolerance_cents, 4})},  // as given
          {"a4_hz", hz(settings.a4_hz)},
          {"tuning", as_utf8(settings.tuning)}};
}

Json recording_of(const SignalQuality& signal_quality, const PrecisionSummary& trust) {
  Json warnings = Json::array();
  for (const RecordingWarning& warning : signal_quality.warnings)
    warnings.push_back(Json{{"kind", std::string(to_string(warning.kind))},
                            {"detail", as_utf8(warning.detail)},
                            {"advice", as_utf8(warning.advice)}});
  return {{"level_dbfs", decibels(signal_quality.level_dbfs)},
          {"snr_db", decibels(signal_quality.snr_db)},
          {"clipped_share", share_json(signal_quality.clipped_share)},
          {"warnings", std::move(warnings)},
          {"trust", {{"notes", trust.notes}, {"of", trust.of}, {"cents", cents_json(trust.cents)}}}};
}

Json melody_of(const std::optional<MelodyFacts>& melody) {
  if (!melody) return nullptr;
  return {{"title", as_utf8(melody->title)},       {"sha256", melody->sha256},          {"key", text_json(melody->key)},
          {"meter", text_json(melody->meter)},     {"tempo", text_json(melody->tempo)}, {"text", as_utf8(melody->text)},
          {"written_notes", melody->written_notes}};
}

Json tries_of(const std::vector<Attempt>& attempts) {
  Json list = Json::array();
  for (const Attempt& attempt : attempts)
    list.push_back(Json{{"from_s", seconds(attempt.from_s)},
                        {"to_s", seconds(attempt.to_s)},
                        {"written_from", attempt.written_from},
                        {"written_to", attempt.written_to},
                        {"counts", attempt.counts},
                        {"sung", attempt.sung},
                        {"missing", attempt.missing},
                        {"extra", attempt.extra}});
  return list;
}

/// Without a melody there is nothing to align: the keys stay, the values are null.
Json alignment_of(const Result& result) {
  if (!result.melody)
    return {{"confidence", nullptr}, {"matched_share", nullptr}, {"decision", nullptr}, {"tries", Json::array()}};
  return {{"confidence", share_json(result.alignment_confidence)},
          {"matched_share", share_json(result.matched_share)},
          {"decision", std::string(to_string(result.decision))},
          {"tries", tries_of(result.attempts)}};
}

Json stretches_of(const std::vector<KeySegment>& key_segments) {
  Json list = Json::array();
  for (const KeySegment& key_segment : key_segments) {
    const auto& ci = key_segment.drift_ci95;
    list.push_back(Json{{"from_index", key_segment.from_index},
                        {"to_index", key_segment.to_index},
                        {"transposition_semitones", key_segment.transposition_semitones},
                        {"centre_cents", cents_json(key_segment.centre_cents)},
                        {"centre_se_cents", cents_json(key_segment.centre_se_cents)},
                        {"drift_cents_per_minute", cents_json(key_segment.drift_cents_per_minute)},
                        {"drift_ci95", ci ? Json::array({cents_json(ci->first), cents_json(ci->second)}) : Json()},
                        {"drift_significant", key_segment.drift_significant}});
  }
  return list;
}

Json notes_of(const Result& result) {
  Json list = Json::array();
  for (const NoteResult& note : result.notes) list.push_back(json_object(note_fields(), NoteRow{result, note}));
  return list;
}

Json habits_of(const Result& result) {
  Json list = Json::array();
  for (const HabitRow& habit : result.habits) list.push_back(json_object(habit_fields(), HabitRowOf{result, habit}));
  return list;
}

Json summary_of(const Summary& s) {
  return {{"written", s.written},
          {"judged", s.judged},
          {"in_tune", s.in_tune},
          {"sharp", s.sharp},
          {"flat", s.flat},
          {"other_note", s.other_note},
          {"missing", s.missing},
          {"extra", s.extra},
          {"unclear", s.unclear},
          {"in_tune_share", share_json(s.in_tune_share)},
          {"judged_share", share_json(s.judged_share)},
          {"accuracy_cents", cents_json(s.accuracy_cents)},
          {"precision_cents", cents_json(s.precision_cents)},
          {"mean_abs_cents", cents_json(s.mean_abs_cents)}};
}

Json drill_of(const DrillProgress& drill) {
  return {{"off", drill.aim.flat ? "flat" : "sharp"},
          {"group", drill.aim.group},
          {"name", as_utf8(drill.aim.name)},
          {"direction", drill.aim.direction ? Json(std::string(to_string(*drill.aim.direction))) : Json()},
          {"notes", drill.notes},
          {"judged", drill.judged},
          {"in_tune", drill.in_tune},
          {"most_in_a_row", drill.most_in_a_row},
          {"mean_cents", cents_json(drill.mean_cents)},
          {"done", drill.done}};
}

Json error_of(const NotMeasured& error) {
  return {{"kind", as_utf8(error.kind)}, {"detail", as_utf8(error.detail)}, {"advice", as_utf8(error.advice)}};
}

void add_measurement(Json& object, const Result& result) {
  object["recording"] = recording_of(result.signal_quality, result.trust);
  object["melody"] = melody_of(result.melody);
  object["alignment"] = alignment_of(result);
  object["pitch_centre"] = {{"a4_hz", hz(result.centre_a4_hz)}, {"cents", cents_json(result.centre_cents)}};
  object["transposition_semitones"] = or_null(result.transposition_semitones);
  object["stretches"] = stretches_of(result.key_segments);
  object["tempo_bpm"] = to_json(cell_of(result.tempo_bpm, 1));
  object["notes"] = notes_of(result);
  object["chronic"] = habits_of(result);
  object["summary"] = summary_of(result.summary);
  if (result.drill) object["drill"] = drill_of(*result.drill);
}

}  // namespace

std::string as_json(const Result& result) {
  Json object = {{"schema", "firmus.take/1"}, {"program", {{"version", std::string(program_version())}}}};
  if (!result.error) object["settings"] = settings_of(result.settings);
  object["context"] = context_of(result.context);
  object["take"] = take_of(result.take);
  if (result.error) {
    object["error"] = error_of(*result.error);
  } else {
    add_measurement(object, result);
  }
  return object.dump();
}

}  // namespace firmus
