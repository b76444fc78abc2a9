// Runs the whole pipeline on samples and compares the result with the ground truth of a simulated take.
#pragma once
#include <string>
#include <vector>

#include "firmus/take.hpp"
#include "singer.hpp"

namespace firmus::reference {

/// A melody of examples/studio by its name ("kite").
Melody studio_melody(const std::string& name);
std::string studio_path(const std::string& below);

/// The whole pipeline, from samples at singer::rate_hz to the result.
Result measure_samples(const std::vector<float>& samples, const Melody& melody, const MeasureOptions& options = {});

/// How a result compares with the truth. A written note counts as found when the result has it as sung and it overlaps
/// the true note by at least half of the shorter of the two.
struct Agreement {
  int sung = 0;  ///< notes of the truth of kind sung
  int found = 0;
  int onset_within_50_ms = 0;     ///< of those found
  int wrongly_missing = 0;        ///< sung, but the result says missing
  int wrongly_sung = 0;           ///< not sung, but the result has it as sung
  std::vector<double> cents_off;  ///< result minus truth, of those found that have a pitch
  std::string not_found;          ///< for messages: notes not found, and onsets more than 50 ms off
};
Agreement compare(const Result& result, const std::vector<singer::SungNote>& truth);

/// Quantile `share` (0 to 1) of the absolute values. A large number for no values, so that a check fails.
double quantile_of_size(std::vector<double> values, double share);

/// The sung note with this written index; throws std::runtime_error when there is none.
const NoteResult& sung_note(const Result& result, int index);
std::vector<int> indices_with(const Result& result, NoteStatus status);

}  // namespace firmus::reference
