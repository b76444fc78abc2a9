// Figures and habits over the weeks, in words.
#pragma once
#include <string>

#include "firmus/trend.hpp"
#include "report/text_page.hpp"

namespace firmus::report {

/// What a change of the figure means for the student.
enum class Sense { better, worse, neither };
Sense sense_of(const TrendFigure& figure);

/// "better", "worse", "no clear change", "too few dates", "drills alone": by how far off the notes are on average.
std::string change_in_words(const StudentTrend& student);

/// "2.1 cents less each week (between 1.0 and 3.2)"
std::string slope_in_words(const TrendFigure& figure, bool by_date);

/// "flat on rising major sixths: 30 cents at first, 3 now (27 less, between 15 and 39)"
std::string trend_habit_in_words(const TrendHabit& habit);
/// "not measured: no such file", "may not be this melody"
std::string left_out_in_words(const TrendLeftOut& take);

/// "flat" or "sharp", by the size that counts for its fate.
bool is_flat(const TrendHabit& habit);

/// "8 takes on 6 dates, 2026-09-07 to 2026-10-26"
std::string span_in_words(const StudentTrend& student);

/// Each fault that was drilled: words, then a row a drill and date.
void add_drills(Page& page, const StudentTrend& student);
int drill_takes(const StudentTrend& student);

/// The words of the text, for whoever sets them otherwise.
enum class TrendPart {
  headline,  ///< what is said first, and the figures whose change is clear
  habits,    ///< what is new, what keeps coming, what has gone
  notes      ///< what to keep in mind when comparing
};
std::vector<SummaryBlock> trend_part(const StudentTrend& student, TrendPart part);
/// A heading, how far off then and now, and which drills are done.
std::vector<SummaryBlock> trend_drill_words(const TrendDrills& drills);
std::vector<SummaryBlock> trend_class_habits(const Trend& trend);  ///< what several of the class have

const TrendFigure* figure_of(const StudentTrend& student, TrendFigureKind kind);

}  // namespace firmus::report
