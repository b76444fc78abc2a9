#include "drills.hpp"
#include "fault_examples.hpp"
#include "faults.hpp"
#include "firmus/practice.hpp"
#include "usable_takes.hpp"

namespace firmus::practice {
namespace {

std::optional<NoteRange> range_of(const std::optional<NoteRange>& comfortable, const PracticeOptions& options) {
  std::optional<NoteRange> range = comfortable;
  if (!range && options.low && options.high) range = NoteRange{*options.low, *options.high};
  if (range && options.low) range->low = *options.low;
  if (range && options.high) range->high = *options.high;
  return range;
}

bool exceeds(const std::optional<NoteRange>& range, const std::optional<NoteRange>& comfortable) {
  return range && (!in_range(comfortable, range->low) || !in_range(comfortable, range->high));
}

/// Takes of drills repeat one fault by design and would bias the search for habits: they are used only when there are
/// no others.
std::vector<PracticeTake> without_drills(const std::vector<PracticeTake>& takes) {
  std::vector<PracticeTake> kept = takes;
  std::erase_if(kept, [](const PracticeTake& take) { return take.melody->drill.has_value(); });
  return kept.empty() ? takes : kept;
}

}  // namespace
}  // namespace firmus::practice

namespace firmus {

Practice plan_practice(std::span<const PracticeTake> takes, const PracticeOptions& options) {
  using namespace practice;
  const std::vector<PracticeTake> usable = usable_takes(takes), searched = latest_takes(without_drills(usable));
  const auto comfortable = comfortable_range(usable);
  Practice plan;
  plan.range = range_of(comfortable, options);
  plan.range_widened = exceeds(plan.range, comfortable);
  for (const LocatedFault& located : find_faults(searched, options.max_faults)) {
    const auto target = at_sung_pitch(*located.take, located.take->melody->note(located.index).pitch);
    if (!target) continue;
    DrillAim aim;
    aim.size_cents = size_in_cents(located.row);
    const Cents within = drill_limit(aim, located.take->result->settings.tolerance_cents);
    plan.faults.push_back({located.source, located.row, *target, within, make_drills(located, plan.range),
                           !in_range(plan.range, *target), fault_examples(searched, located)});
  }
  return plan;
}

}  // namespace firmus
