// One line of a score -> melody text.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "score/score.hpp"

namespace firmus::melody {

/// The part as it is performed, in melody text that reads back with the same notes, bars and words: what is played
/// again is a section. `verse` picks the words of one verse; without it, the k-th time has verse k, and a measure
/// without a syllable of that verse the first one. Throws InputError where the notes, played out, are too many.
std::string text_of_score(const score::Score& score, const score::Part& part, std::optional<int> verse,
                          const std::string& file);

}  // namespace firmus::melody
