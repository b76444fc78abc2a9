#include "firmus/read_result.hpp"

#include "result_in.hpp"

namespace firmus {
using namespace report;
namespace {

constexpr std::string_view schema = "firmus.take/1";
constexpr int most_written_notes = 20000;  // of a melody played out

Settings settings_in(const JsonIn& settings) {
  Settings read;
  read.reference = settings.at("reference").one_of({Reference::concert, Reference::own, Reference::interval});
  read.tolerance_cents = Cents(settings.at("tolerance_cents").number_or_nan());
  read.a4_hz = Hertz(settings.at("a4_hz").number_or_nan());
  read.tuning = settings.at("tuning").text();
  return read;
}

Context context_in(const JsonIn& context) {
  return {text_in(context, "student"), text_in(context, "assignment"), text_in(context, "piece"),
          text_in(context, "date")};
}

RecordingInfo take_in(const JsonIn& take) {
  return {take.at("name").text(), text_in(take, "sha256"), integer_in(take, "sample_rate_hz"),
          integer_in(take, "channels"), number_in(take, "duration_s")};
}

NotMeasured error_in(const JsonIn& error) {
  return {error.at("kind").text(), error.at("detail").text(), error.at("advice").text()};
}

RecordingWarning warning_in(const JsonIn& warning) {
  return {warning.at("kind").one_of<RecordingFault>(), warning.at("detail").text(), warning.at("advice").text()};
}

SignalQuality recording_in(const JsonIn& signal_quality) {
  SignalQuality read;
  read.level_dbfs = signal_quality.at("level_dbfs").number_or_nan();
  read.snr_db = number_in(signal_quality, "snr_db");
  read.clipped_share = signal_quality.at("clipped_share").number_or_nan();
  read.warnings = list_in(signal_quality, "warnings", warning_in);
  return read;
}

PrecisionSummary trust_in(const JsonIn& signal_quality) {
  const auto trust = signal_quality.find("trust");
  if (!trust) return {};
  return {trust->at("notes").integer(0, any_int), trust->at("of").integer(0, any_int), number_in(*trust, "cents")};
}

MelodyFacts melody_in(const JsonIn& melody) {
  MelodyFacts facts;
  facts.title = melody.at("title").text();
  facts.sha256 = melody.at("sha256").text();
  facts.text = melody.at("text").text();
  facts.key = text_in(melody, "key");
  facts.meter = text_in(melody, "meter");
  facts.tempo = text_in(melody, "tempo");
  facts.written_notes = melody.at("written_notes").integer(1, most_written_notes);
  return facts;
}

Attempt attempt_in(const JsonIn& attempt, int written_notes) {
  Attempt read;
  read.from_s = attempt.at("from_s").number_or_nan();
  read.to_s = attempt.at("to_s").number_or_nan();
  read.written_from = attempt.at("written_from").integer(0, written_notes - 1);
  read.written_to = attempt.at("written_to").integer(0, written_notes - 1);
  read.counts = attempt.at("counts").boolean();
  read.sung = integer_in(attempt, "sung").value_or(0);
  read.missing = integer_in(attempt, "missing").value_or(0);
  read.extra = integer_in(attempt, "extra").value_or(0);
  return read;
}

/// Without a melody there is no alignment: all null.
void read_alignment(Result& result, const JsonIn& alignment) {
  result.alignment_confidence = alignment.at("confidence").number_or_nan();
  result.matched_share = alignment.at("matched_share").number_or_nan();
  result.decision = alignment.at("decision").one_of<AlignmentDecision>();
  result.attempts =
      list_in(alignment, "tries", [&](const JsonIn& a) { return attempt_in(a, result.melody->written_notes); });
}

KeySegment stretch_in(const JsonIn& key_segment, int written_notes) {
  constexpr int most_semitones = 128;
  KeySegment read;
  read.from_index = key_segment.at("from_index").integer(0, written_notes - 1);
  read.to_index = key_segment.at("to_index").integer(0, written_notes - 1);
  read.transposition_semitones = key_segment.at("transposition_semitones").integer(-most_semitones, most_semitones);
  read.centre_cents = key_segment.at("centre_cents").number_or_nan();
  read.centre_se_cents = key_segment.at("centre_se_cents").number_or_nan();
  read.drift_cents_per_minute = number_in(key_segment, "drift_cents_per_minute");
  read.drift_ci95 = interval_in(key_segment, "drift_ci95");
  read.drift_significant = key_segment.at("drift_significant").boolean();
  return read;
}

Summary summary_in(const JsonIn& summary) {
  const auto count = [&](std::string_view key) { return summary.at(key).integer(0, any_int); };
  Summary read{count("written"),
               count("judged"),
               count("in_tune"),
               count("sharp"),
               count("flat"),
               count("other_note"),
               count("missing"),
               count("extra"),
               count("unclear"),
               {},
               {},
               {},
               {},
               {}};
  read.in_tune_share = number_in(summary, "in_tune_share");
  read.judged_share = number_in(summary, "judged_share");
  read.accuracy_cents = number_in(summary, "accuracy_cents");
  read.precision_cents = number_in(summary, "precision_cents");
  read.mean_abs_cents = number_in(summary, "mean_abs_cents");
  return read;
}

DrillProgress drill_in(const JsonIn& drill) {
  const auto count = [&](std::string_view key) { return drill.at(key).integer(0, any_int); };
  DrillProgress read;
  read.aim.flat = drill.at("off").text() == "flat";
  read.aim.group = drill.at("group").text();
  read.aim.name = drill.at("name").text();
  read.aim.direction = direction_in(drill);
  read.notes = count("notes");
  read.judged = count("judged");
  read.in_tune = count("in_tune");
  read.most_in_a_row = count("most_in_a_row");
  read.mean_cents = number_in(drill, "mean_cents");
  read.done = drill.at("done").boolean();
  return read;
}

void read_melody_and_alignment(Result& result, const JsonIn& root) {
  const auto melody = root.find("melody");
  if (!melody) return;
  result.melody = melody_in(*melody);
  read_alignment(result, root.at("alignment"));
}

void read_centre(Result& result, const JsonIn& root) {
  constexpr int most_semitones = 128;
  if (const auto centre = root.find("pitch_centre")) {
    result.centre_a4_hz = number_in(*centre, "a4_hz");
    result.centre_cents = number_in(*centre, "cents");
  }
  result.transposition_semitones = integer_in(root, "transposition_semitones", -most_semitones, most_semitones);
  result.tempo_bpm = number_in(root, "tempo_bpm");
}

void read_measurement(Result& result, const JsonIn& root) {
  result.settings = settings_in(root.at("settings"));
  const JsonIn signal_quality = root.at("recording");
  result.signal_quality = recording_in(signal_quality);
  result.trust = trust_in(signal_quality);
  read_melody_and_alignment(result, root);
  read_centre(result, root);
  const int written = result.melody ? result.melody->written_notes : most_written_notes;
  result.key_segments = list_in(root, "stretches", [&](const JsonIn& s) { return stretch_in(s, written); });
  result.notes = list_in(root, "notes", [&](const JsonIn& n) { return note_in(n, written); });
  result.habits = list_in(root, "chronic", [&](const JsonIn& h) { return habit_in(h, written); });
  result.summary = summary_in(root.at("summary"));
  if (const auto drill = root.find("drill")) result.drill = drill_in(*drill);
}

}  // namespace

Result read_result(std::string_view json, const std::string& name) {
  const JsonSource source(json, name, "give a result as \"firmus check --out\" writes it");
  const JsonIn root(source);
  const JsonIn found = root.at("schema");
  if (found.text() != schema) found.reject("is \"" + found.text() + "\"", "firmus reads \"firmus.take/1\"");
  Result result;
  result.context = context_in(root.at("context"));
  result.take = take_in(root.at("take"));
  if (const auto error = root.find("error")) {
    result.error = error_in(*error);
  } else {
    root.at("notes");  // a measurement has them
    read_measurement(result, root);
  }
  return result;
}

}  // namespace firmus
