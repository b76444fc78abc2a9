// Trends of figures and habits in words.
#pragma once
#include <string>

#include "firmus/trend.hpp"
#include "report/text_page.hpp"

namespace firmus::report {

/// Whether the change of a figure is an improvement; `neither` for figures without a better direction.
enum class Sense { better, worse, neither };
Sense sense_of(const TrendFigure& figure);

/// "better", "worse", "no clear change", "too few dates", "drills alone": by the trend of the mean absolute error.
std::string change_in_words(const StudentTrend& student);

/// Change along the line from the first to the last point, with its 95 % interval: "9 cents less (between 4 and 14)".
/// Nothing is said of a time without recordings, such as a week where all dates are within three days.
std::string total_change_in_words(const TrendFigure& figure);

/// "flat on rising major sixths: 30 cents in the earlier takes, 3 in the later ones (27 less, between 15 and 39)"
std::string trend_habit_in_words(const TrendHabit& habit);
/// Why a take is excluded: "not measured: no such file", "may not be this melody".
std::string left_out_in_words(const TrendLeftOut& take);

/// Whether the habit is flat (else sharp), by the size that gives its direction: the earlier one if it is gone or
/// uncertain.
bool is_flat(const TrendHabit& habit);

/// "8 takes on 6 dates, 2026-09-07 to 2026-10-26"
std::string span_in_words(const StudentTrend& student);

/// For each fault that was drilled: words, then one row per drill and date.
void add_drills(Page& page, const StudentTrend& student);
/// Number of takes of drills.
int drill_takes(const StudentTrend& student);

/// Parts of the text report, for other layouts than 78 columns of text.
enum class TrendPart {
  headline,  ///< mean absolute error at first and at last, and the figures whose change is clear
  habits,    ///< new, persistent and past habits
  notes      ///< remarks: what is compared, differences in settings, excluded takes
};
std::vector<SummaryBlock> trend_part(const StudentTrend& student, TrendPart part);
/// A heading, the mean error at first and at last, and which drills are done.
std::vector<SummaryBlock> trend_drill_words(const TrendDrills& drills);
/// Habits of the class, with the numbers of students.
std::vector<SummaryBlock> trend_class_habits(const Trend& trend);

/// Null when the student has no such figure.
const TrendFigure* figure_of(const StudentTrend& student, TrendFigureKind kind);

}  // namespace firmus::report
