// Annotated takes for the fit: takes/ID.flac, truth/ID.csv, and takes.csv with melodies/ where the melody is known.
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

/// Assigns a known melody to each take without one whose sung intervals match it by at least `least_share` (longest
/// common subsequence of intervals, equal within 0.8 semitone, over the longer of the two). Cross-validation needs it
/// to keep all takes of a melody in one fold.
void name_lines_by_intervals(std::vector<AnnotatedTake>& takes, double least_share = 0.6);

}  // namespace firmus::fit
