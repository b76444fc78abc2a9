// A practice plan in words, for the text and the page.
#pragma once
#include <string>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::report {

/// "flat on rising major sixths": what a drill is about.
std::string aim_in_words(const DrillAim& aim);
/// Whether a drill is done, and what of it came in tune: two sentences.
std::vector<std::string> drill_in_words(const DrillProgress& drill);

/// Files of a drill, without an extension: "1-2-closing-in" is the second drill of the first fault.
std::string drill_stem(const Practice& practice, std::size_t fault, std::size_t drill);

/// "You keep singing rising major sixths flat: 30 cents, 12 of 12 times."
std::string fault_in_words(const PracticeFault& fault);
/// Why no drill goes to the note itself, or that the range given is wider than what was sung; empty when all is well.
std::string range_warning(const Practice& practice, const PracticeFault& fault);
/// "Everything here lies between D4 and D5, the notes that came with ease."
std::string range_in_words(const Practice& practice);

/// How to go about it: how long, how often, how to check, and what counts as done.
std::vector<std::string> how_to_practise();
/// The usual cautions.
std::vector<std::string> practice_cautions();

}  // namespace firmus::report

namespace firmus {

/// practice.txt, at most 78 columns.
std::string practice_as_text(const Practice& practice);

}  // namespace firmus
