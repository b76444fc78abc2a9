#include <fmt/format.h>

#include <cmath>

#include "firmus/words.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

std::string aim_in_words(const DrillAim& aim) {
  return fmt::format("{} on {}", aim.flat ? "flat" : "sharp", group_in_words(aim.group, aim.name, aim.direction));
}

}  // namespace

void add_drill(Page& page, const Result& result) {
  if (!result.drill) return;
  const DrillProgress& drill = *result.drill;
  page.paragraph(fmt::format("This drill ({}) is {}.", aim_in_words(drill.aim), drill.done ? "done" : "not done yet"));
  const std::string mean = drill.mean_cents ? "; on average " + cents_off(*drill.mean_cents) : "";
  page.paragraph(fmt::format("Of the {} that it is about {} came in tune, {} in a row{}.", counted(drill.notes, "note"),
                             drill.in_tune, drill.most_in_a_row, mean));
  page.gap();
}

}  // namespace firmus::report
