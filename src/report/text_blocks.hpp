// The parts of the summary, each of which knows when it has nothing to say.
#pragma once
#include "firmus/report.hpp"
#include "report/text_page.hpp"

namespace firmus::report {

/// A written note below this share of all that could be judged gets no mark (least_judged_share of the rubric).
inline constexpr double least_judged_share = 0.6;

void add_facts(Page& page, const Result& result);  ///< take, melody, warnings, tries
void add_headline(Page& page, const Result& result, Colour colour);
void add_drill(Page& page, const Result& result);  ///< of a drill: whether it is done
void add_habits(Page& page, const Result& result, Colour colour);
void add_furthest(Page& page, const Result& result, Colour colour);
void add_centre(Page& page, const Result& result);  ///< centre, key, drift
void add_longest_in_tune(Page& page, const Result& result);
void add_not_judged(Page& page, const Result& result);
void add_trust(Page& page, const Result& result);
void add_care(Page& page);

}  // namespace firmus::report
