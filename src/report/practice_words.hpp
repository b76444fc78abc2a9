// A practice plan in words, for the text and the page.
#pragma once
#include <string>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::report {

/// The fault that a drill practises: "flat on rising major sixths".
std::string aim_in_words(const DrillAim& aim);
/// Two sentences: whether a drill is done, and how many of its notes were in tune.
std::vector<std::string> drill_in_words(const DrillProgress& drill);

/// Name of a drill's files, without extension: "1-2-closing-in" is the second drill of the first fault.
std::string drill_stem(const Practice& practice, std::size_t fault, std::size_t drill);

/// "What keeps coming: flat on rising major sixths: 30 cents, 12 of 12 times."
std::string fault_in_words(const PracticeFault& fault);
/// "You can move on from a drill when five target notes in a row ... are within 15 cents."
std::string done_in_words(const PracticeFault& fault);
/// Instead of drills where nothing recurs.
inline constexpr const char* nothing_to_drill = "Nothing recurring in the latest recordings. No drills needed.";
/// Warns that no drill contains the target note, or that the range given exceeds the notes sung with ease; else empty.
std::string range_warning(const Practice& practice, const PracticeFault& fault);
/// "Everything here lies between D4 and D5, the notes that came with ease."
std::string range_in_words(const Practice& practice);

/// Instructions: how long, how often, how to check, and when a drill is done. One paragraph each.
std::vector<std::string> how_to_practise();
/// The usual cautions.
std::vector<std::string> practice_cautions();

}  // namespace firmus::report

namespace firmus {

/// practice.txt, at most 78 columns.
std::string practice_as_text(const Practice& practice);

}  // namespace firmus
