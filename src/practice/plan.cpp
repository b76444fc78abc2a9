#include "drills.hpp"
#include "fault_examples.hpp"
#include "faults.hpp"
#include "firmus/practice.hpp"
#include "usable_takes.hpp"

namespace firmus {
namespace {

using namespace practice;

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

/// A drill has its fault on every other note: what keeps coming is found where it was met, in takes of other melodies.
std::vector<PracticeTake> without_drills(const std::vector<PracticeTake>& takes) {
  std::vector<PracticeTake> kept = takes;
  std::erase_if(kept, [](const PracticeTake& take) { return take.melody->drill.has_value(); });
  return kept.empty() ? takes : kept;
}

}  // namespace

Practice plan_practice(std::span<const PracticeTake> takes, const PracticeOptions& options) {
  const std::vector<PracticeTake> kept = usable_takes(takes), faulty = without_drills(kept);
  const auto comfortable = comfortable_range(kept);
  Practice practice;
  practice.range = range_of(comfortable, options);
  practice.range_widened = exceeds(practice.range, comfortable);
  for (const LocatedFault& located : find_faults(faulty, options.most_faults)) {
    const auto target = at_sung_pitch(*located.take, located.take->melody->note(located.index).pitch);
    if (!target) continue;
    practice.faults.push_back({located.source, located.row, *target, make_drills(located, practice.range),
                               !in_range(practice.range, *target), fault_examples(faulty, located)});
  }
  return practice;
}

}  // namespace firmus
