// The fields of a take other than its notes and habits, in the order of the JSON.
#include <array>

#include "row_fields.hpp"

namespace firmus::report {
namespace {

constexpr int most_semitones = 128;
constexpr Format digest{.pattern = "^[0-9a-f]{64}$"};
constexpr Format whole_from_1{.minimum = 1};

constexpr std::array of_settings{
    member<&Settings::reference>(key_only("reference")),
    member<&Settings::tolerance_cents>(key_only("tolerance_cents", "cents"), above_0(4)),  // as the user gave it
    member<&Settings::a4_hz>(key_only("a4_hz", "Hz"), above_0(hz_decimals)),
    member<&Settings::tuning>(key_only("tuning")),
};

constexpr std::array of_context{
    member<&Context::student>(key_only("student")),
    member<&Context::assignment>(key_only("assignment")),
    member<&Context::piece>(key_only("piece")),
    member<&Context::date>(key_only("date"), date_format),
};

constexpr std::array of_recording_info{
    member<&RecordingInfo::name>(key_only("name")),
    member<&RecordingInfo::sha256>(key_only("sha256"), digest),
    member<&RecordingInfo::sample_rate_hz>(key_only("sample_rate_hz", "Hz"), whole_from_1),
    member<&RecordingInfo::channels>(key_only("channels"), whole_from_1),
    member<&RecordingInfo::duration_s>(key_only("duration_s", "s"), at_least_0(seconds_decimals)),
};

constexpr std::array of_not_measured{
    member<&NotMeasured::kind>(key_only("kind", "", "one word for scripts")),
    member<&NotMeasured::detail>(key_only("detail")),
    member<&NotMeasured::advice>(key_only("advice")),
};

constexpr std::array of_signal_quality{
    member<&SignalQuality::level_dbfs>(key_only("level_dbfs", "dBFS"), {.decimals = 1, .nullable = true}),
    member<&SignalQuality::snr_db>(key_only("snr_db", "dB"), {.decimals = 1}),
    member<&SignalQuality::clipped_share>(key_only("clipped_share", "share"),
                                          {.decimals = share_decimals, .minimum = 0, .maximum = 1, .nullable = true}),
};

constexpr std::array of_warning{
    member<&RecordingWarning::kind>(key_only("kind")),
    member<&RecordingWarning::detail>(key_only("detail")),
    member<&RecordingWarning::advice>(key_only("advice")),
};

constexpr std::array of_precision{
    member<&PrecisionSummary::notes>(key_only("notes"), at_least_0()),
    member<&PrecisionSummary::of>(key_only("of"), at_least_0()),
    member<&PrecisionSummary::cents>(key_only("cents", "cents"), at_least_0(cents_decimals)),
};

constexpr auto bars_text = [](const MelodyFacts& melody) {
  return melody.bars ? std::optional(bar_range_text(*melody.bars)) : std::nullopt;
};
void read_bars(MelodyFacts& melody, const JsonIn& object, std::string_view key, const Format&, int) {
  const auto bars = object.find(key);
  if (!bars) return;
  melody.bars = parse_bar_range(bars->text());
  if (!melody.bars) bars->reject("is not a range of bars", "write it as in \"9-16\"");
}

constexpr std::array of_melody{
    member<&MelodyFacts::title>(key_only("title")),
    member<&MelodyFacts::sha256>(key_only("sha256"), digest),
    member<&MelodyFacts::key>(key_only("key")),
    member<&MelodyFacts::meter>(key_only("meter")),
    member<&MelodyFacts::tempo>(key_only("tempo")),
    member<&MelodyFacts::text>(key_only("text", "", "the melody file as read")),
    read_by(computed<MelodyFacts>(key_only("bars", "", "the passage expected, such as 9-16; null: the whole melody"),
                                  {.pattern = "^[0-9]+(-[0-9]+)?$", .may_be_missing = true}, bars_text),
            read_bars),
    member<&MelodyFacts::written_notes>(key_only("written_notes"),
                                        {.minimum = 1, .read_from = 1, .read_to = most_written_notes}),
};

// Without a melody these keys are null.
constexpr Format nullable_share{.decimals = share_decimals, .minimum = 0, .maximum = 1, .nullable = true};
constexpr std::array of_alignment{
    read_by(computed<Result>(
                key_only("confidence", "share"), nullable_share,
                [](const Result& r) { return r.melody ? std::optional(r.alignment_confidence) : std::nullopt; }),
            [](Result& r, const JsonIn& object, std::string_view key, const Format&, int) {
              r.alignment_confidence = object.at(key).number_or_nan();
            }),
    read_by(computed<Result>(key_only("matched_share", "share"), nullable_share,
                             [](const Result& r) { return r.melody ? std::optional(r.matched_share) : std::nullopt; }),
            [](Result& r, const JsonIn& object, std::string_view key, const Format&, int) {
              r.matched_share = object.at(key).number_or_nan();
            }),
    read_by(computed<Result>(key_only("decision"), {},
                             [](const Result& r) { return r.melody ? std::optional(r.decision) : std::nullopt; }),
            [](Result& r, const JsonIn& object, std::string_view key, const Format&, int) {
              r.decision = object.at(key).one_of<AlignmentDecision>();
            }),
};

constexpr Format later_count{.minimum = 0, .may_be_missing = true};
constexpr std::array of_attempt{
    member<&Attempt::from_s>(key_only("from_s", "s"), at_least_0(seconds_decimals)),
    member<&Attempt::to_s>(key_only("to_s", "s"), at_least_0(seconds_decimals)),
    member<&Attempt::written_from>(key_only("written_from"), index_format),
    member<&Attempt::written_to>(key_only("written_to"), index_format),
    member<&Attempt::counts>(key_only("counts", "", "this try is the one that is judged")),
    member<&Attempt::sung>(key_only("sung"), later_count),
    member<&Attempt::missing>(key_only("missing"), later_count),
    member<&Attempt::extra>(key_only("extra"), later_count),
};

constexpr Format semitones_format{.read_from = -most_semitones, .read_to = most_semitones};
constexpr std::array of_centre{
    member<&Result::centre_a4_hz>(key_only("pitch_centre.a4_hz", "Hz"), above_0(hz_decimals)),
    member<&Result::centre_cents>(key_only("pitch_centre.cents", "cents"), cents_format),
    member<&Result::transposition_semitones>(key_only("transposition_semitones", "semitones"), semitones_format),
    member<&Result::tempo_bpm>(key_only("tempo_bpm"), above_0(1)),
};

constexpr std::array of_key_segment{
    member<&KeySegment::from_index>(key_only("from_index"), index_format),
    member<&KeySegment::to_index>(key_only("to_index"), index_format),
    member<&KeySegment::transposition_semitones>(key_only("transposition_semitones", "semitones"), semitones_format),
    member<&KeySegment::centre_cents>(key_only("centre_cents", "cents"), cents_format),
    member<&KeySegment::centre_se_cents>(key_only("centre_se_cents", "cents"),
                                         {.decimals = cents_decimals, .minimum = 0, .nullable = true}),
    member<&KeySegment::drift_cents_per_minute>(key_only("drift_cents_per_minute", "cents/min"), cents_format),
    member<&KeySegment::drift_ci95>(key_only("drift_ci95", "cents/min"), cents_format),
    member<&KeySegment::drift_significant>(key_only("drift_significant")),
};

constexpr std::array of_summary{
    member<&Summary::written>(key_only("written"), at_least_0()),
    member<&Summary::judged>(key_only("judged"), at_least_0()),
    member<&Summary::in_tune>(key_only("in_tune"), at_least_0()),
    member<&Summary::sharp>(key_only("sharp"), at_least_0()),
    member<&Summary::flat>(key_only("flat"), at_least_0()),
    member<&Summary::other_note>(key_only("other_note"), at_least_0()),
    member<&Summary::missing>(key_only("missing"), at_least_0()),
    member<&Summary::extra>(key_only("extra"), at_least_0()),
    member<&Summary::unclear>(key_only("unclear"), at_least_0()),
    member<&Summary::in_tune_share>(key_only("in_tune_share", "share"), share_format),
    member<&Summary::judged_share>(key_only("judged_share", "share"), share_format),
    member<&Summary::accuracy_cents>(key_only("accuracy_cents", "cents"), cents_format),
    member<&Summary::precision_cents>(key_only("precision_cents", "cents"), at_least_0(cents_decimals)),
    member<&Summary::mean_abs_cents>(key_only("mean_abs_cents", "cents"), at_least_0(cents_decimals)),
};

Names ways_off() {
  return {"flat", "sharp"};
}
constexpr std::array of_aim{
    read_by(computed<DrillAim>(both("off", "", ""), {.names = ways_off},
                               [](const DrillAim& aim) { return std::string(aim.flat ? "flat" : "sharp"); }),
            [](DrillAim& aim, const JsonIn& object, std::string_view key, const Format&, int) {
              aim.flat = object.at(key).text() == "flat";
            }),
    member<&DrillAim::group>(both("group", "", "")),
    member<&DrillAim::name>(both("name", "", "")),
    member<&DrillAim::direction>(both("direction", "", "")),
};

constexpr std::array of_drill{
    member<&DrillProgress::notes>(key_only("notes"), {.minimum = 1}),
    member<&DrillProgress::judged>(key_only("judged"), at_least_0()),
    member<&DrillProgress::in_tune>(key_only("in_tune"), at_least_0()),
    member<&DrillProgress::most_in_a_row>(key_only("most_in_a_row"), at_least_0()),
    member<&DrillProgress::within_cents>(key_only("within_cents", "cents"), at_least_0(cents_decimals)),
    member<&DrillProgress::mean_cents>(key_only("mean_cents", "cents"), cents_format),
    member<&DrillProgress::done>(key_only("done")),
};

constexpr std::array of_since{
    member<&Since::take>(key_only("take", "", "name of the earlier take")),
    member<&Since::sha256>(key_only("sha256"), digest),
    member<&Since::date>(key_only("date"), date_format),
    member<&Since::notes>(key_only("notes", "", "judged in both takes, and sung as another note in neither"),
                          at_least_0()),
    member<&Since::then_mean_abs_cents>(key_only("then_mean_abs_cents", "cents", "their average error then"),
                                        at_least_0(cents_decimals)),
    member<&Since::now_mean_abs_cents>(key_only("now_mean_abs_cents", "cents", "their average error now"),
                                       at_least_0(cents_decimals)),
    member<&Since::change_cents>(key_only("change_cents", "cents", "now minus then: negative is better"), cents_format),
    member<&Since::change_ci95_cents>(key_only("change_ci95_cents", "cents", "its 95 % interval"), cents_format),
    member<&Since::verdict>(key_only("verdict", "", "better or worse only where the interval excludes 0")),
    member<&Since::off_then>(key_only("off_then", "", "notes judged in both takes that were not in tune then"),
                             at_least_0()),
    member<&Since::off_then_in_tune_now>(key_only("off_then_in_tune_now"), at_least_0()),
    member<&Since::in_tune_then>(key_only("in_tune_then"), at_least_0()),
    member<&Since::in_tune_then_off_now>(key_only("in_tune_then_off_now"), at_least_0()),
};

constexpr std::array of_since_finding{
    member<&SinceFinding::group>(key_only("group", "", "as in chronic; spot: a single note")),
    member<&SinceFinding::name>(key_only("name")),
    member<&SinceFinding::direction>(key_only("direction")),
    member<&SinceFinding::then_cents>(key_only("then_cents", "cents", "mean error of its notes then"), cents_format),
    member<&SinceFinding::now_cents>(key_only("now_cents", "cents", "mean error of its notes now"), cents_format),
    member<&SinceFinding::change_ci95_cents>(
        key_only("change_ci95_cents", "cents", "95 % interval of now minus then, for all that was compared"),
        cents_format),
    member<&SinceFinding::indices>(key_only("indices", "", "the written notes compared"), index_format),
};

}  // namespace

std::span<const Field<Since>> since_fields() {
  return of_since;
}
std::span<const Field<SinceFinding>> since_finding_fields() {
  return of_since_finding;
}
std::span<const Field<Settings>> settings_fields() {
  return of_settings;
}
std::span<const Field<Context>> context_fields() {
  return of_context;
}
std::span<const Field<RecordingInfo>> recording_info_fields() {
  return of_recording_info;
}
std::span<const Field<NotMeasured>> not_measured_fields() {
  return of_not_measured;
}
std::span<const Field<SignalQuality>> signal_quality_fields() {
  return of_signal_quality;
}
std::span<const Field<RecordingWarning>> warning_fields() {
  return of_warning;
}
std::span<const Field<PrecisionSummary>> precision_fields() {
  return of_precision;
}
std::span<const Field<MelodyFacts>> melody_fields() {
  return of_melody;
}
std::span<const Field<Result>> alignment_fields() {
  return of_alignment;
}
std::span<const Field<Attempt>> attempt_fields() {
  return of_attempt;
}
std::span<const Field<Result>> centre_fields() {
  return std::span(of_centre).first(of_centre.size() - 1);
}
std::span<const Field<Result>> tempo_fields() {
  return std::span(of_centre).last(1);
}
std::span<const Field<KeySegment>> key_segment_fields() {
  return of_key_segment;
}
std::span<const Field<Summary>> summary_fields() {
  return of_summary;
}
std::span<const Field<DrillAim>> aim_fields() {
  return of_aim;
}
std::span<const Field<DrillProgress>> drill_fields() {
  return of_drill;
}

}  // namespace firmus::report
