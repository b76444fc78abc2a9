#include "drills.hpp"
#include "faults.hpp"
#include "firmus/practice.hpp"
#include "fault_examples.hpp"
#include "usable_takes.hpp"

namespace firmus {
namespace {

using namespace practice;

std::optional<NoteRange> range_of(const std::optional<NoteRange>& eased, const PracticeOptions& options) {
  std::optional<NoteRange> range = eased;
  if (!range && options.low && options.high) range = NoteRange{*options.low, *options.high};
  if (range && options.low) range->low = *options.low;
  if (range && options.high) range->high = *options.high;
  return range;
}

bool goes_beyond(const std::optional<NoteRange>& range, const std::optional<NoteRange>& eased) {
  return range && (!lies_in(eased, range->low) || !lies_in(eased, range->high));
}

/// A drill has its fault on every other note: what keeps coming is found where it was met, in takes of other melodies.
std::vector<PracticeTake> of_no_drill(const std::vector<PracticeTake>& takes) {
  std::vector<PracticeTake> kept = takes;
  std::erase_if(kept, [](const PracticeTake& take) { return take.melody->drill.has_value(); });
  return kept.empty() ? takes : kept;
}

}  // namespace

Practice plan_practice(std::span<const PracticeTake> takes, const PracticeOptions& options) {
  const std::vector<PracticeTake> kept = usable(takes), faulty = of_no_drill(kept);
  const auto eased = sung_with_ease(kept);
  Practice practice;
  practice.range = range_of(eased, options);
  practice.range_widened = goes_beyond(practice.range, eased);
  for (const MetFault& met : find_faults(faulty, options.most_faults)) {
    const auto target = as_sung(*met.take, met.take->melody->note(met.index).pitch);
    if (!target) continue;
    practice.faults.push_back({met.source, met.row, *target, make_drills(met, practice.range),
                               !lies_in(practice.range, *target), happened_at(faulty, met)});
  }
  return practice;
}

}  // namespace firmus
