// The faults to practise, and for each a typical note.
#pragma once
#include <set>
#include <span>
#include <vector>

#include "firmus/practice.hpp"

namespace firmus::practice {

/// A fault at the written note where it is most typical: the most common pair of note and note before it.
struct LocatedFault {
  FaultSource source = FaultSource::chronic;
  HabitRow row;
  const PracticeTake* take = nullptr;
  int index = 0;                   ///< written note of the take's melody
  std::optional<int> before;       ///< the written note it is reached from; none where a phrase or a section begins
  std::vector<HabitPlace> places;  ///< all its written notes; `take` counts in the takes searched
  std::set<int> affected;          ///< those of the take's melody
};

/// At most `max_faults`, from what recurs in the takes: chronic habits in their order; if there are none the leaning
/// ones that are off the same way in three of four notes. Left out is what the newest take with two such notes no
/// longer shows. No two have the same typical pair of notes.
std::vector<LocatedFault> find_faults(std::span<const PracticeTake> takes, int max_faults);

/// How far off the fault's notes are, as a drill states it.
int size_in_cents(const HabitRow& row);

/// The takes of the last three dates (of takes without a date, which come first, each stands for one).
std::vector<PracticeTake> latest_takes(std::span<const PracticeTake> takes);

/// Written notes of the melody of `takes[take]` that are at these places.
std::set<int> affected_notes(std::span<const PracticeTake> takes, std::size_t take,
                             const std::vector<HabitPlace>& places);

}  // namespace firmus::practice
