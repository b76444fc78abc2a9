// The progress of drills on one fault: in words, and date by date.
#include <fmt/format.h>

#include "base/base.hpp"
#include "report/practice_words.hpp"
#include "report/words.hpp"
#include "trend/trend.hpp"
#include "trend_words.hpp"

namespace firmus::report {
namespace {

std::string when_of(const TrendDrillPoint& point, bool by_date) {
  return by_date ? fmt::format(" ({})", *point.date) : "";
}

std::string then_and_now(const TrendDrills& drills) {
  const auto ends = trend::first_and_last(drills);
  if (!ends) return "none of these notes could be judged";
  const TrendDrillPoint &first = *ends->first, &last = *ends->last;
  const bool one = drills.by_date ? first.date == last.date : &first == &last;
  if (one)
    return fmt::format("{}{} on average; one {} tells no change", cents_off(*drills.last_cents),
                       when_of(last, drills.by_date), drills.by_date ? "date" : "take");
  return fmt::format("{} on average at first{}, {} at last{}", cents_off(*drills.first_cents),
                     when_of(first, drills.by_date), cents_off(*drills.last_cents), when_of(last, drills.by_date));
}

std::string drills_in(const TrendDrills& drills, DrillState state) {
  std::string names;
  for (const auto& [drill, its_state] : drills.states)
    if (its_state == state) names += (names.empty() ? "" : "; ") + display_name(drill);
  return names;
}

void add_state(Page& page, const TrendDrills& drills, DrillState state, std::string_view words) {
  const std::string names = drills_in(drills, state);
  if (!names.empty()) page.item(fmt::format("{}: {}", words, names));
}

}  // namespace

void add_drill_words(Page& page, const TrendDrills& drills) {
  page.line("Drills: " + aim_in_words(drills.aim));
  page.item(then_and_now(drills));
  add_state(page, drills, DrillState::done, drills.by_date ? "done, on two days" : "done, in two takes");
  add_state(page, drills, DrillState::once,
            drills.by_date ? "done once; repeat it on another day" : "done once; take it again, to be sure");
  add_state(page, drills, DrillState::not_done, "not done yet");
  for (const std::string& take : drills.doubtful)
    page.item("listen to " + display_name(take) + ": it may be of something else");
}

void add_drills(Page& page, const StudentTrend& student) {
  constexpr int drill_columns = 28;
  for (const TrendDrills& drills : student.drills) {
    add_drill_words(page, drills);
    page.line(fmt::format("  {:<12}{:<28}{:>9}{:>10}{:>9}{:>6}", drills.by_date ? "date" : "", "drill", "in tune",
                          "in a row", "off", "done"));
    for (const TrendDrillPoint& point : drills.points)
      page.line(fmt::format("  {:<12}{}{:>9}{:>10}{:>9}{:>6}", drills.by_date ? *point.date : "",
                            padded(shortened(display_name(point.drill), drill_columns - 1), drill_columns),
                            fmt::format("{} of {}", point.in_tune, point.notes), point.most_in_a_row,
                            point.mean_cents ? signed_cents(*point.mean_cents) : "-", point.done ? "yes" : "no"));
    page.gap();
  }
}

int drill_takes(const StudentTrend& student) {
  std::size_t takes = 0;
  for (const TrendDrills& drills : student.drills)
    for (const TrendDrillPoint& point : drills.points) takes += point.takes.size();
  return static_cast<int>(takes);
}

std::vector<SummaryBlock> trend_drill_words(const TrendDrills& drills) {
  Page page;
  add_drill_words(page, drills);
  return page.blocks();
}

}  // namespace firmus::report
