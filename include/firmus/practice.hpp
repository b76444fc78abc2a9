// What is off -> what to practise: short melodies, from easy to hard, that `check` can check a take of.
#pragma once
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "firmus/habits.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// A measured take and the melody it is of.
struct PracticeTake {
  const Melody* melody = nullptr;
  const Result* result = nullptr;
};

/// Lowest and highest note, as written at the pitch that was sung.
struct NoteRange {
  SpelledPitch low, high;
};

struct PracticeOptions {
  std::optional<SpelledPitch> low, high;  ///< in place of what was sung with ease
  int most_faults = 2;
};

/// One short melody of a fault.
struct Drill {
  std::string name;    ///< short, for a file: "hold" "closing-in" "steps" "slow" "other-starts" "phrase-slow" "phrase"
  std::string title;   ///< for the page: "Hold B4"
  std::string how;     ///< one or two sentences: what to do
  std::string melody;  ///< in the melody format, with a `drill:` header; bars add up, ends with a full bar
};

/// Why a fault is practised.
enum class FaultSource {
  chronic,
  leaning,
  furthest  ///< no habit was found: the written note that was furthest off
};

/// A note of a take where a fault happened; both belong to whoever gave the results.
struct FaultPlace {
  const Result* result = nullptr;
  const NoteResult* note = nullptr;
};

struct PracticeFault {
  FaultSource source = FaultSource::chronic;
  HabitRow row;         ///< group, name, direction, how far off on average
  SpelledPitch target;  ///< the note that the drills are about, at the pitch sung
  std::vector<Drill> drills;
  bool out_of_range = false;       ///< the note was never sung with ease, and lies outside: no drill goes there
  std::vector<FaultPlace> places;  ///< where it happened: the notes furthest off, in the order they were sung
};

struct Practice {
  std::optional<NoteRange> range;  ///< none: nothing was sung with ease, and none was given
  bool range_widened = false;      ///< the range given goes beyond what was sung with ease
  std::vector<PracticeFault> faults;
};

/// Takes of one student, of one melody or several. Faults are what is chronic over all takes, else what leans, else
/// the written notes furthest off. Drills stay within the notes that were sung in tune to half a semitone, or the range
/// given. Takes that were not measured, or may not be the melody, are passed over. The plan points into the results
/// given.
Practice plan_practice(std::span<const PracticeTake> takes, const PracticeOptions& options);

/// How a take of a drill did on the notes that the drill is about, measured against `reference`; none when the melody
/// is no drill. Done is five of them in a row in tune (all, where there are fewer); an unclear one ends no run.
std::optional<DrillProgress> drill_progress(const Melody& melody, std::span<const NoteResult> notes,
                                            Reference reference);

}  // namespace firmus
