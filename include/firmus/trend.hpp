// Results of many takes -> how a student, or each of a class, gets on over the weeks.
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

/// A saved result under the name it was found.
struct TrendTake {
  std::string name;
  Result result;
};

/// The takes of one date together; of takes without a date, one take. Figures are over their judged notes, by the
/// reference of each take; notes that are another note count as judged, but into no mean (as in Summary).
struct TrendPoint {
  std::optional<std::string> date;  ///< YYYY-MM-DD
  double weeks = 0;                 ///< since the first point; without dates its number, from 0
  std::vector<std::string> takes;   ///< their names
  int judged = 0, in_tune = 0;
  std::optional<double> in_tune_share, accuracy_cents, precision_cents, mean_abs_cents;
  std::optional<double> centre_cents;            ///< mean over the takes: 0 is concert pitch
  std::optional<double> drift_cents_per_minute;  ///< mean over the takes of their longest stretch
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

/// How one figure changes: the slope of a straight line through the points by least squares, with its t interval. From
/// 3 points on.
struct TrendFigure {
  TrendFigureKind kind = TrendFigureKind::mean_abs;
  double first = 0, last = 0;  ///< of the line, at the first and the last point
  double per_week = 0;         ///< per take where there are no dates; of a share: of 1
  std::pair<double, double> ci95;
  double p = 1, p_adjusted = 1;  ///< adjusted for all figures of the student (Holm 1979)
  bool clear = false;            ///< adjusted p at most 0.05
};

/// A habit over the points of a student. The sizes in `change` are by take, in the order of `StudentTrend::takes`.
struct TrendHabit {
  HabitChange change;
  std::vector<std::optional<double>> cents_by_point;  ///< mean over the takes of each point
};

/// A take that no figure is made of, and why.
struct TrendLeftOut {
  enum class Reason { not_measured, without_melody, other_melody, doubtful_melody, nothing_judged };
  std::string name;
  Reason reason = Reason::not_measured;
  std::string detail;  ///< of not_measured: why, as its Result says
};

/// The takes of one drill on one date (of takes without a date: one take), on the notes that the drill is about.
struct TrendDrillPoint {
  std::optional<std::string> date;  ///< YYYY-MM-DD
  std::string drill;                ///< the title of its melody; without one the name of its first take
  std::vector<std::string> takes;   ///< their names
  int notes = 0, judged = 0, in_tune = 0, most_in_a_row = 0;
  std::optional<double> mean_cents;  ///< of the judged ones
  bool done = false;                 ///< in one of the takes
};

enum class DrillState {
  not_done,
  once,  ///< done on one date: to be taken once more, to be sure
  done   ///< on two dates at least; without dates in two takes
};
constexpr auto enum_names(DrillState) {
  using enum DrillState;
  return std::to_array<EnumName<DrillState>>({{not_done, "not done"}, {once, "done once"}, {done, "done"}});
}

/// What became of one fault in the drills against it.
struct TrendDrills {
  DrillAim aim;  ///< without its notes
  bool by_date = true;
  std::vector<TrendDrillPoint> points;                     ///< by date, then in the order that drills were first taken
  std::vector<std::pair<std::string, DrillState>> states;  ///< each drill, in that order
  std::optional<double> first_cents,
      last_cents;                     ///< over all drills of the first date with a judged note, and of the last
  std::vector<std::string> doubtful;  ///< takes that may not be of their drill
};

struct StudentTrend {
  std::optional<std::string> student;
  bool by_date = true;  ///< every take has a date; else takes are in the order given, a point each
  std::vector<TrendPoint> points;
  std::size_t earlier_points = 0;    ///< whose habits are compared with the others'; 0 under 3 points or 5 takes
  std::vector<std::string> takes;    ///< names, in order
  std::vector<TrendFigure> figures;  ///< empty under 3 points
  std::vector<TrendHabit> habits;
  std::vector<TrendDrills> drills;  ///< by fault, in the order that they were first taken
  std::vector<TrendLeftOut> left_out;
  bool settings_differ = false;  ///< not all takes by one reference, tolerance and tuning
  int melodies = 0;
};

/// Students by name; takes without a student together, as one without a name, last.
struct Trend {
  std::vector<StudentTrend> students;
  std::vector<Problem> damaged;  ///< results whose melody cannot be read, or is not the one that was measured
};

/// Takes are ordered by date, those of one date as given. Takes of drills are told apart, in `drills` alone: they have
/// the fault on every other note, slowly, and would make figures and habits look worse or better than the singing is.
Trend make_trend(const std::vector<TrendTake>& takes);

}  // namespace firmus
