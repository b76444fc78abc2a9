#include <fmt/format.h>

#include <cmath>

#include "report/practice_words.hpp"
#include "report/words.hpp"
#include "text_blocks.hpp"

namespace firmus::report {

std::string aim_in_words(const DrillAim& aim) {
  return fmt::format("{} {}", aim.flat ? "flat" : "sharp", group_in_words(aim.group, aim.name, aim.direction));
}

std::vector<std::string> drill_in_words(const DrillProgress& drill) {
  const std::string mean = drill.mean_cents ? "; on average " + cents_off(*drill.mean_cents) : "";
  const std::string near =
      drill.within_cents ? "within " + counted(static_cast<int>(std::llround(*drill.within_cents)), "cent") : "in tune";
  return {fmt::format("This drill ({}) is {}.", aim_in_words(drill.aim), drill.done ? "done" : "not done yet"),
          fmt::format("{} of its {} {} {}, {} in a row{}.", drill.in_tune, counted(drill.notes, "target note"),
                      drill.in_tune == 1 ? "was" : "were", near, drill.most_in_a_row, mean)};
}

void add_drill(Page& page, const Result& result) {
  if (!result.drill) return;
  for (const std::string& sentence : drill_in_words(*result.drill)) page.paragraph(sentence);
  page.gap();
}

}  // namespace firmus::report
