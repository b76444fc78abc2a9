// Changes of key within a take, and drift, in words.
#pragma once
#include <functional>
#include <span>
#include <string>
#include <vector>

#include "firmus/result.hpp"

namespace firmus::report {

/// The place of a written note without its preposition: "bar 9", "the pick-up".
using PlaceOfNote = std::function<std::string(int index)>;

/// Whether the words are said to the singer or about one.
enum class SaidTo { singer, teacher };

/// One sentence for all changes of key and one for each drift: "You went up a semitone at bar 9.", "You went down a
/// semitone from phrase to phrase: at bar 5, bar 9 and bar 13.", "Your pitch sank 66 cents from start to end."; to a
/// teacher "Went up a semitone at bar 9.", "The pitch sank 66 cents from start to end."
std::vector<std::string> pitch_changes_in_words(std::span<const PitchChange> changes, const PlaceOfNote& place,
                                                SaidTo said_to);
/// The same of a result, to the singer.
std::vector<std::string> pitch_changes_in_words(const Result& result);

}  // namespace firmus::report
