#include "drills.hpp"

#include <algorithm>

#include "points.hpp"

namespace firmus {
namespace trend {
namespace {

/// Mean of several means, each weighted by its number of notes.
class NoteWeightedMean {
 public:
  void add(const std::optional<double>& mean_cents, int notes) {
    if (!mean_cents || notes == 0) return;
    sum_ += *mean_cents * notes;
    notes_ += notes;
  }
  std::optional<double> mean() const { return notes_ > 0 ? std::optional(sum_ / notes_) : std::nullopt; }

 private:
  double sum_ = 0;
  int notes_ = 0;
};

std::string drill_of(const TrendTake& take) {
  return take.result.melody->title.empty() ? take.name : take.result.melody->title;
}

/// One drill with its takes, in order.
struct DrillTakes {
  std::string drill, sha256;
  std::vector<const TrendTake*> takes;
};

/// The takes grouped by drill. A drill is identified by its title, which is the same when the drill is made again;
/// without a title by the digest of its text.
std::vector<DrillTakes> by_drill(const std::vector<const TrendTake*>& takes) {
  std::vector<DrillTakes> drills;
  for (const TrendTake* take : takes) {
    const MelodyFacts& melody = *take->result.melody;
    const auto found = std::find_if(drills.begin(), drills.end(), [&](const DrillTakes& one) {
      return melody.title.empty() ? one.sha256 == melody.sha256 : one.drill == melody.title;
    });
    if (found != drills.end())
      found->takes.push_back(take);
    else
      drills.push_back({drill_of(*take), melody.sha256, {take}});
  }
  return drills;
}

TrendDrillPoint point_of(const std::string& drill, const std::vector<const TrendTake*>& takes) {
  TrendDrillPoint point;
  point.drill = drill;
  point.date = takes.front()->result.context.date;
  NoteWeightedMean mean;
  for (const TrendTake* take : takes) {
    const DrillProgress& progress = *take->result.drill;
    point.takes.push_back(take->name);
    point.notes += progress.notes;
    point.judged += progress.judged;
    point.in_tune += progress.in_tune;
    point.most_in_a_row = std::max(point.most_in_a_row, progress.most_in_a_row);
    point.done = point.done || progress.done;
    mean.add(progress.mean_cents, progress.judged);
  }
  point.mean_cents = mean.mean();
  return point;
}

/// The points of one drill: one per date, or without dates one per take.
std::vector<TrendDrillPoint> points_of(const DrillTakes& drill, bool by_date) {
  std::vector<std::vector<const TrendTake*>> together;
  for (const TrendTake* take : drill.takes) {
    const bool same =
        by_date && !together.empty() && together.back().front()->result.context.date == take->result.context.date;
    if (!same) together.emplace_back();
    together.back().push_back(take);
  }
  std::vector<TrendDrillPoint> points;
  for (const auto& takes : together) points.push_back(point_of(drill.drill, takes));
  return points;
}

DrillState state_of(const std::vector<TrendDrillPoint>& points) {
  const auto done = std::count_if(points.begin(), points.end(), [](const TrendDrillPoint& p) { return p.done; });
  return done > 1 ? DrillState::done : done == 1 ? DrillState::once : DrillState::not_done;
}

/// Mean error over the drills of the date of `when`; without dates of this point only.
std::optional<double> mean_at(const std::vector<TrendDrillPoint>& points, const TrendDrillPoint& when, bool by_date) {
  NoteWeightedMean mean;
  for (const TrendDrillPoint& point : points)
    if (by_date ? point.date == when.date : &point == &when) mean.add(point.mean_cents, point.judged);
  return mean.mean();
}

TrendDrills drills_of(const std::vector<const TrendTake*>& takes) {
  const OrderedTakes ordered = order_takes(takes);
  TrendDrills drills;
  drills.aim = takes.front()->result.drill->aim;
  drills.by_date = ordered.by_date;
  for (const DrillTakes& drill : by_drill(ordered.takes)) {
    std::vector<TrendDrillPoint> points = points_of(drill, ordered.by_date);
    drills.states.emplace_back(drill.drill, state_of(points));
    drills.points.insert(drills.points.end(), points.begin(), points.end());
  }
  if (ordered.by_date)
    std::stable_sort(drills.points.begin(), drills.points.end(),
                     [](const TrendDrillPoint& a, const TrendDrillPoint& b) { return *a.date < *b.date; });
  if (const auto ends = first_and_last(drills)) {
    drills.first_cents = mean_at(drills.points, *ends->first, ordered.by_date);
    drills.last_cents = mean_at(drills.points, *ends->last, ordered.by_date);
  }
  for (const TrendTake* take : ordered.takes)
    if (take->result.decision != AlignmentDecision::sure) drills.doubtful.push_back(take->name);
  return drills;
}

}  // namespace

std::optional<FirstAndLast> first_and_last(const TrendDrills& drills) {
  const auto is_judged = [](const TrendDrillPoint& point) { return point.mean_cents.has_value(); };
  const auto first = std::find_if(drills.points.begin(), drills.points.end(), is_judged);
  if (first == drills.points.end()) return std::nullopt;
  return FirstAndLast{&*first, &*std::find_if(drills.points.rbegin(), drills.points.rend(), is_judged)};
}

std::vector<TrendDrills> drill_trends(const std::vector<const TrendTake*>& takes) {
  std::vector<std::vector<const TrendTake*>> by_aim;
  for (const TrendTake* take : order_takes(takes).takes) {
    const auto found = std::find_if(by_aim.begin(), by_aim.end(), [&](const auto& same) {
      return same.front()->result.drill->aim == take->result.drill->aim;
    });
    if (found != by_aim.end())
      found->push_back(take);
    else
      by_aim.push_back({take});
  }
  std::vector<TrendDrills> all;
  for (const auto& same : by_aim) all.push_back(drills_of(same));
  return all;
}

}  // namespace trend

}  // namespace firmus
