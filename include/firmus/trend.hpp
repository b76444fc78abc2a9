// Results of many takes -> how a student, or each student of a class, changes over the weeks.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/error.hpp"
#include "firmus/habits.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// A saved result and the name of its file.
struct TrendTake {
  std::string name;
  Result result;
};

/// All takes of one date; when not all takes have a date, one take. Figures are over the judged notes, relative to the
/// reference of each take. Notes sung as another note count as judged but do not enter the means (as in Summary).
struct TrendPoint {
  std::optional<std::string> date;  ///< YYYY-MM-DD
  double weeks = 0;                 ///< since the first point; without dates the number of the point, from 0
  std::vector<std::string> takes;   ///< their names
  int judged = 0, in_tune = 0;
  std::optional<double> in_tune_share, accuracy_cents, precision_cents, mean_abs_cents;
  std::optional<double> mean_abs_se_cents;       ///< standard error of mean_abs_cents, from the scatter of its notes
  std::optional<double> centre_cents;            ///< mean over the takes of Result::centre_cents
  std::optional<double> drift_cents_per_minute;  ///< mean over the takes; of each, its key segment with most notes
};

enum class TrendFigureKind { mean_abs, in_tune_share, precision, accuracy, centre, drift };
constexpr auto enum_names(TrendFigureKind) {
  using enum TrendFigureKind;
  return std::to_array<EnumName<TrendFigureKind>>({{mean_abs, "mean_abs_cents"},
                                                   {in_tune_share, "in_tune_share"},
                                                   {precision, "precision_cents"},
                                                   {accuracy, "accuracy_cents"},
                                                   {centre, "centre_cents"},
                                                   {drift, "drift_cents_per_minute"}});
}

/// Change of one figure: a straight line through the points, and the 95 % interval of its slope. Points scatter about
/// it from day to day and, as good and bad weeks follow each other, with an autocorrelation; that of the mean absolute
/// error scatters also by its notes (TrendPoint::mean_abs_se_cents). Needs at least 3 points.
struct TrendFigure {
  TrendFigureKind kind = TrendFigureKind::mean_abs;
  double first = 0, last = 0;  ///< value of the line at the first and the last point
  double per_week = 0;         ///< slope; per take when there are no dates. A share is 0 to 1
  std::pair<double, double> ci95;
  double p = 1;
  double p_adjusted = 1;  ///< mean absolute error: p; of the others for all of these (Holm 1979)
  bool clear = false;     ///< adjusted p at most 0.05
};

/// A habit over the points of a student. The sizes in `change` are by take, in the order of `StudentTrend::takes`.
struct TrendHabit {
  HabitChange change;
  std::vector<std::optional<double>> cents_by_point;  ///< mean over the takes of each point; none: not estimated
};

/// A take that is excluded, and why.
struct TrendLeftOut {
  enum class Reason { not_measured, without_melody, other_melody, doubtful_melody, nothing_judged };
  std::string name;
  Reason reason = Reason::not_measured;
  std::string detail;  ///< for not_measured: the detail of Result::error
};

/// The takes of one drill on one date (one take when not all have a date): results on the notes that it practises.
struct TrendDrillPoint {
  std::optional<std::string> date;  ///< YYYY-MM-DD
  std::string drill;                ///< title of its melody; without a title the name of its first take
  std::vector<std::string> takes;   ///< their names
  int notes = 0, judged = 0, in_tune = 0, most_in_a_row = 0;
  std::optional<double> mean_cents;  ///< mean error of the judged notes
  bool done = false;                 ///< in at least one of the takes
};

enum class DrillState {
  not_done,
  once,  ///< done on one date only: it should be repeated
  done   ///< on at least two dates; without dates in at least two takes
};
constexpr auto enum_names(DrillState) {
  using enum DrillState;
  return std::to_array<EnumName<DrillState>>({{not_done, "not done"}, {once, "done once"}, {done, "done"}});
}

/// All takes of the drills that practise one fault.
struct TrendDrills {
  DrillAim aim;  ///< its `notes` are empty
  bool by_date = true;
  std::vector<TrendDrillPoint> points;                     ///< by date, then by the first take of their drill
  std::vector<std::pair<std::string, DrillState>> states;  ///< of each drill, in the order of their first takes
  std::optional<double> first_cents,
      last_cents;                     ///< mean error over all drills, at the first and last date with judged notes
  std::vector<std::string> doubtful;  ///< takes whose melody is in doubt (AlignmentDecision::listen)
};

struct StudentTrend {
  std::optional<std::string> student;
  bool by_date = true;  ///< every take has a date; else takes are in the order given, one point per take
  std::vector<TrendPoint> points;
  std::size_t earlier_points = 0;  ///< their habits are compared with those of later points; 0: too few points or takes
  std::vector<std::string> takes;  ///< names, in order
  std::vector<TrendFigure> figures;  ///< empty below 3 points
  std::vector<TrendHabit> habits;
  std::vector<TrendDrills> drills;  ///< one per fault, in the order of their first takes
  std::vector<TrendLeftOut> left_out;
  bool settings_differ = false;  ///< takes differ in reference, tolerance, tuning or A4
  int melodies = 0;              ///< number of different melodies
};

/// Students sorted by name. All takes without a student's name form one student without a name, the last.
struct Trend {
  std::vector<StudentTrend> students;
  std::vector<Problem> damaged;  ///< results whose melody text is invalid or has another number of notes
};

/// Takes are ordered by date, those of one date as given. Takes of drills enter `drills` only: a drill has the fault on
/// every other note, at a slow tempo, and would bias the figures and habits.
Trend make_trend(const std::vector<TrendTake>& takes);

}  // namespace firmus
