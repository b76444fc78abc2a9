// Annotated takes as the fit reads them: takes/ID.flac, truth/ID.csv, and takes.csv with melodies/ where the line is
// known.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "firmus/audio.hpp"
#include "firmus/melody.hpp"

namespace firmus::fit {

struct AnnotatedNote {
  double onset_s, offset_s, sung_midi;
};

struct AnnotatedTake {
  std::string id;
  std::string line;  ///< melody name; empty when it is not known
  std::string take_path;
  std::vector<AnnotatedNote> notes;
  std::optional<Melody> melody;
};

/// Reads a folder. Throws InputError.
std::vector<AnnotatedTake> read_annotated_takes(const std::string& folder);

/// Names the line of each take that has none, when its sung intervals follow one of the known melodies for at least
/// `least_share` (longest common subsequence of intervals within 0.8 semitone, over the longer of the two). Keeps lines
/// apart in cross-validation.
void name_lines_by_intervals(std::vector<AnnotatedTake>& takes, double least_share = 0.6);

}  // namespace firmus::fit
