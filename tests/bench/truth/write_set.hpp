// The takes as a folder of annotated takes, as scripts/score.sh and firmus-fit read them.
#pragma once
#include <string>
#include <vector>

#include "truth_take.hpp"

namespace firmus::truth {

/// Writes DIR/takes/ID.flac, DIR/truth/ID.csv and DIR/melodies/NAME.melody. May be called from several threads.
void write_take(const std::string& folder, const TruthTake& take);
/// Writes DIR/takes.csv.
void write_list(const std::string& folder, const std::vector<std::pair<std::string, std::string>>& take_and_melody);

}  // namespace firmus::truth
