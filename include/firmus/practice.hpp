// Results of one student -> a practice plan: the faults to work on, and drills for each, from easy to hard. A drill is
// a short melody with a `drill:` header; takes of it are measured like those of any melody.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "firmus/habits.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// A take: its result and its melody. The caller keeps both alive as long as the plan.
struct PracticeTake {
  const Melody* melody = nullptr;
  const Result* result = nullptr;
};

/// Lowest and highest note at the pitch sung: as written, transposed as the take was.
struct NoteRange {
  SpelledPitch low, high;
};

struct PracticeOptions {
  std::optional<SpelledPitch> low, high;  ///< override the range found in the takes
  int max_faults = 2;
};

/// One short melody against a fault.
struct Drill {
  /// Short, for a file: "hold" "closing-in" "repeats" "ends" "tonic" "keys" "steps" "slow" "other-starts" "phrase-slow"
  /// "phrase"
  std::string name;
  std::string title;   ///< for the page: "Hold B4"
  std::string how;     ///< instruction, one or two sentences
  std::string melody;  ///< in the melody format, with a `drill:` header; bars add up, ends with a full bar
};

/// Why a fault is practised.
enum class FaultSource {
  chronic,  ///< a chronic habit (see habits.hpp)
  leaning   ///< a suggestive one
};

/// An example of a fault: a note of a take. Both pointers point into the results given.
struct FaultPlace {
  const Result* result = nullptr;
  const NoteResult* note = nullptr;
};

struct PracticeFault {
  FaultSource source = FaultSource::chronic;
  HabitRow row;                   ///< group, name, direction, mean error
  SpelledPitch target;            ///< the note that the drills practise, at the pitch sung
  Cents within_cents = Cents(0);  ///< see drill_limit
  std::vector<Drill> drills;
  bool out_of_range = false;       ///< the target is outside the range: no drill contains it
  std::vector<FaultPlace> places;  ///< examples: up to 6 notes with the largest errors, in the order sung
};

struct Practice {
  std::optional<NoteRange> range;  ///< of all drills; none when the takes show none and none was given
  bool range_widened = false;      ///< the range given exceeds the notes sung within 50 cents
  std::vector<PracticeFault> faults;
};

/// Plan for takes of one student, of one melody or several. Faults are what recurs in the takes of the last three
/// dates: the chronic habits; if there are none the leaning ones that come in three of four notes; none where the
/// newest take no longer shows it. Drills stay within the notes that were sung within 50 cents, or the range given.
/// Takes with an error or of another melody are ignored; takes of drills are used only when there are no others.
Practice plan_practice(std::span<const PracticeTake> takes, const PracticeOptions& options);

/// How near a note of a drill must come: the smaller of the tolerance and the larger of 10 cents and half the size of
/// the fault; the tolerance where the drill states no size.
Cents drill_limit(const DrillAim& aim, Cents tolerance);

/// Result of a take of a drill on the notes it practises (DrillAim::notes); none when the melody is not a drill. Errors
/// are relative to the median of the notes not practised, since the take's own centre would follow the fault; to
/// concert pitch when that is the reference or fewer than three other notes are judged. It is done when five of the
/// notes in a row (all, where there are fewer) are within the limit by more than their standard error and their mean is
/// within 10 cents of 0. An unclear note neither extends nor ends a run.
std::optional<DrillProgress> drill_progress(const Melody& melody, std::span<const NoteResult> notes,
                                            const Settings& settings);

}  // namespace firmus
