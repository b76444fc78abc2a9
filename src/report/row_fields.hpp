// The tables of fields of a take, of a trend and of a gradebook.
#pragma once
#include "fields.hpp"
#include "firmus/report.hpp"

namespace firmus::report {

std::span<const Field<Settings>> settings_fields();
std::span<const Field<Context>> context_fields();
std::span<const Field<RecordingInfo>> recording_info_fields();
std::span<const Field<NotMeasured>> not_measured_fields();
std::span<const Field<SignalQuality>> signal_quality_fields();
std::span<const Field<RecordingWarning>> warning_fields();
std::span<const Field<PrecisionSummary>> precision_fields();
std::span<const Field<MelodyFacts>> melody_fields();
std::span<const Field<Result>> alignment_fields();
std::span<const Field<Attempt>> attempt_fields();
std::span<const Field<Result>> centre_fields();
std::span<const Field<Result>> tempo_fields();
std::span<const Field<KeySegment>> key_segment_fields();
std::span<const Field<NoteResult>> note_fields();
std::span<const Field<HabitRow>> habit_fields();
std::span<const Field<Summary>> summary_fields();
std::span<const Field<DrillAim>> aim_fields();
std::span<const Field<DrillProgress>> drill_fields();
std::span<const Field<Since>> since_fields();
std::span<const Field<SinceFinding>> since_finding_fields();

std::span<const Field<StudentTrend>> student_trend_fields();
std::span<const Field<TrendPoint>> trend_point_fields();
std::span<const Field<TrendFigure>> trend_figure_fields();
std::span<const Field<TrendHabit>> trend_habit_fields();
std::span<const Field<TrendDrills>> trend_drills_fields();
std::span<const Field<std::pair<std::string, DrillState>>> drill_state_fields();
std::span<const Field<TrendDrillPoint>> trend_drill_point_fields();
std::span<const Field<TrendLeftOut>> left_out_fields();

std::span<const Field<MarkBreakdown>> mark_fields();
std::span<const Field<TakeGrade>> take_grade_fields();
std::span<const Field<PieceGrade>> piece_grade_fields();
/// The standing is the last field: always in JSON, in the table only when the rubric asks for ranks.
enum class Standings { shown, left_out };
std::span<const Field<StudentGrade>> student_grade_fields(Standings standings = Standings::shown);

/// Key of the counts by band: a list in JSON, one column per band in tables.
inline constexpr std::string_view in_band_key = "in_band";

/// The first column of CSV tables of notes and of habits.
inline constexpr std::string_view take_column = "take", take_column_meaning = "name of the take";

/// The cell of a note in a CSV column. Throws std::logic_error when there is no such column.
Cell note_cell(const NoteResult& note, std::string_view column);

inline constexpr int most_written_notes = 20000;  ///< limit when a result is read; repeats count each time

// Formats that many fields share.
inline constexpr Format at_least_0(int decimals = 0) {
  return {.decimals = decimals, .minimum = 0};
}
inline constexpr Format above_0(int decimals) {
  return {.decimals = decimals, .above = 0};
}
inline constexpr Format share_format{.decimals = share_decimals, .minimum = 0, .maximum = 1};
inline constexpr Format p_format{.decimals = p_decimals, .minimum = 0, .maximum = 1};
inline constexpr Format cents_format{.decimals = cents_decimals};
inline constexpr Format index_format{.minimum = 0, .is_index = true};
inline constexpr Format date_format{.pattern = "^\\d{4}-\\d{2}-\\d{2}$"};

}  // namespace firmus::report
