// Rows of the table: the condition under which takes are generated, and its targets.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "truth_take.hpp"

namespace firmus::truth {

/// Median and 95th percentile of an absolute error.
struct ErrorTarget {
  double median = 0, p95 = 0;
};

struct Condition {
  std::string name;
  std::optional<double> right_percent;     ///< least share of the written notes that must be right
  std::optional<double> left_out_percent;  ///< least share of the notes left out that must be said to be missing
  std::optional<ErrorTarget> cents, onset_ms;
  std::optional<std::string> not_run;  ///< why it cannot be made here
  int every = 1;                       ///< only every n-th melody
  /// A voice or an instrument alone, recorded well: nothing to warn of, whatever is sung.
  bool clean = false;
  std::function<TruthTake(const std::string& melody_name, std::uint64_t seed)> make;
};

/// All of them, in the table's order.
std::vector<Condition> conditions();

/// One way to sing: the voice, with its pitch errors and timing.
singer::Plan natural_plan(const Melody& melody, std::uint64_t seed);

std::vector<Condition> voice_conditions();
std::vector<Condition> recording_conditions();
std::vector<Condition> structure_conditions();
std::vector<Condition> instrument_conditions();
std::vector<Condition> room_conditions();
/// Notes of one pitch in a row, on one vowel.
std::vector<Condition> repeated_note_conditions();
/// Sixteenths, wide vibrato, trills.
std::vector<Condition> agile_conditions();
/// An instrument gives each note before it is sung.
std::vector<Condition> given_conditions();
/// An instrument plays the sung line along.
std::vector<Condition> doubled_conditions();

inline constexpr ErrorTarget natural_cents{0.7, 2.5}, voice_onset_ms{10, 35};

}  // namespace firmus::truth
