// The parts of the text summary. Each adds nothing when it does not apply to the result.
#pragma once
#include "firmus/report.hpp"
#include "report/text_page.hpp"

namespace firmus::report {

/// A take with a smaller share of judged notes among the written ones gets no mark (the default of
/// Rubric::least_judged_share).
inline constexpr double least_judged_share = 0.6;

void add_facts(Page& page, const Result& result);  ///< take, melody, warnings, attempts
void add_headline(Page& page, const Result& result, Colour colour);
void add_drill(Page& page, const Result& result);  ///< whether the drill is done; nothing without a drill
void add_habits(Page& page, const Result& result, Colour colour);
void add_since(Page& page, const Result& result);  ///< against an earlier take; nothing without one
void add_furthest(Page& page, const Result& result, Colour colour);
void add_centre(Page& page, const Result& result);  ///< centre, key, drift
/// Without a melody: intervals as sung, notes between two names, steadiness, vibrato; else nothing.
void add_as_sung(Page& page, const Result& result);
void add_longest_in_tune(Page& page, const Result& result);
void add_not_judged(Page& page, const Result& result);
void add_trust(Page& page, const Result& result);
void add_care(Page& page);

}  // namespace firmus::report
