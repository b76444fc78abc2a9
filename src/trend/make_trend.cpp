#include <algorithm>
#include <map>
#include <set>
#include <tuple>

#include "drills.hpp"
#include "figures.hpp"
#include "firmus/take.hpp"
#include "points.hpp"

namespace firmus::trend {
namespace {

/// The melodies of the results; each text is parsed once.
class MelodyCache {
 public:
  /// Null when the melody cannot be parsed, or has another number of notes than was measured. The take must have one.
  const Melody* of(const TrendTake& take) {
    const MelodyFacts& facts = *take.result.melody;
    const std::string bars = facts.bars ? bar_range_text(*facts.bars) : "";
    const auto [at, is_new] = read_.try_emplace({facts.text, bars, facts.written_notes});
    if (is_new) at->second = melody_of(take.result, take.name);
    return at->second ? &*at->second : nullptr;
  }

 private:
  std::map<std::tuple<std::string, std::string, int>, std::optional<Melody>> read_;
};

/// Why a take is excluded; none when it is used.
std::optional<TrendLeftOut::Reason> exclusion_reason(const Result& result) {
  using enum TrendLeftOut::Reason;
  if (result.error) return not_measured;
  if (!result.melody) return without_melody;
  if (result.decision == AlignmentDecision::not_this_melody) return other_melody;
  // A drill repeats the interval that the student misses, so few of its steps come as written. Its result is used all
  // the same, and the doubt is reported (TrendDrills::doubtful).
  if (result.decision == AlignmentDecision::listen && !result.drill) return doubtful_melody;
  if (result.summary.judged == 0) return nothing_judged;
  return std::nullopt;
}

bool settings_differ(const std::vector<const TrendTake*>& takes) {
  std::set<std::tuple<Reference, double, std::string, double>> seen;
  for (const TrendTake* take : takes) {
    const Settings& settings = take->result.settings;
    seen.emplace(settings.reference, settings.tolerance_cents, settings.tuning, settings.a4_hz);
  }
  return seen.size() > 1;
}

/// Mean over the takes of each point; none for a point without a value.
std::vector<std::optional<double>> by_point(const std::vector<std::optional<double>>& by_take,
                                            const OrderedTakes& ordered) {
  std::vector<double> sums(ordered.points.size(), 0.0), counts(ordered.points.size(), 0.0);
  for (std::size_t t = 0; t < by_take.size(); ++t) {
    if (!by_take[t]) continue;
    sums[ordered.point_of[t]] += *by_take[t];
    ++counts[ordered.point_of[t]];
  }
  std::vector<std::optional<double>> means(sums.size());
  for (std::size_t p = 0; p < sums.size(); ++p)
    if (counts[p] > 0) means[p] = sums[p] / counts[p];
  return means;
}

std::size_t takes_before_point(const OrderedTakes& ordered, std::size_t point) {
  return static_cast<std::size_t>(std::count_if(ordered.point_of.begin(), ordered.point_of.end(),
                                                [&](std::size_t of_take) { return of_take < point; }));
}

/// Half of the points, or 0 with too few takes to estimate the between-take variance: with 4 takes, 6 in 100 students
/// who stay the same would be reported as changed.
std::size_t earlier_points_of(const OrderedTakes& ordered) {
  constexpr std::size_t fewest_takes = 5, fewest_earlier_takes = 2;
  const std::size_t half = ordered.points.size() / 2;
  const bool enough = ordered.points.size() >= fewest_points && ordered.takes.size() >= fewest_takes &&
                      takes_before_point(ordered, half) >= fewest_earlier_takes;
  return enough ? half : 0;
}

void add_habits(StudentTrend& student, const OrderedTakes& ordered, MelodyCache& melodies) {
  std::vector<HabitTake> takes;
  std::set<const Melody*> different;
  for (const TrendTake* take : ordered.takes) {
    takes.push_back({melodies.of(*take), take->result.notes});
    different.insert(takes.back().melody);
  }
  student.melodies = static_cast<int>(different.size());
  student.earlier_points = earlier_points_of(ordered);
  for (HabitChange& change : follow_habits(takes, takes_before_point(ordered, student.earlier_points))) {
    auto points = by_point(change.cents_by_take, ordered);
    student.habits.push_back({std::move(change), std::move(points)});
  }
}

StudentTrend trend_of(const std::vector<const TrendTake*>& all, MelodyCache& melodies) {
  StudentTrend student;
  student.student = all.front()->result.context.student;
  std::vector<const TrendTake*> takes, drills;
  for (const TrendTake* take : all) {
    if (const auto why = exclusion_reason(take->result)) {
      student.left_out.push_back({take->name, *why, take->result.error ? take->result.error->detail : ""});
    } else {
      (take->result.drill ? drills : takes).push_back(take);
    }
  }
  student.drills = drill_trends(drills);
  student.settings_differ = settings_differ(takes);
  const OrderedTakes ordered = order_takes(std::move(takes));
  student.by_date = ordered.by_date;
  for (const TrendTake* take : ordered.takes) student.takes.push_back(take->name);
  add_habits(student, ordered, melodies);
  student.figures = figure_slopes(ordered.points);
  student.points = ordered.points;
  return student;
}

}  // namespace
}  // namespace firmus::trend

namespace firmus {

Trend make_trend(const std::vector<TrendTake>& takes) {
  trend::MelodyCache melodies;
  Trend all;
  std::map<std::string, std::vector<const TrendTake*>> named;
  std::vector<const TrendTake*> nameless;
  for (const TrendTake& take : takes) {
    if (take.result.melody && !melodies.of(take)) {
      all.damaged.push_back({{take.name, 0, 0},
                             "holds a melody that is not the one that was measured",
                             "measure the take again with \"firmus check --out\""});
      continue;
    }
    const auto& student = take.result.context.student;
    (student ? named[*student] : nameless).push_back(&take);
  }
  for (const auto& [name, of_student] : named) all.students.push_back(trend::trend_of(of_student, melodies));
  if (!nameless.empty()) all.students.push_back(trend::trend_of(nameless, melodies));
  return all;
}

}  // namespace firmus
