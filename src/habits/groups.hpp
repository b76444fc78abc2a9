// Judged notes sorted into groups by the names of their written notes; which groups are tested, and with which share of
// the family-wise alpha.
#pragma once
#include <span>
#include <vector>

#include "firmus/habits.hpp"
#include "group_names.hpp"
#include "several_takes_model.hpp"

namespace firmus::habits {

/// A judged note of a take.
struct JudgedNote {
  int index = 0;  ///< WrittenNote::index
  double cents = 0, se_cents = 0;
  bool from_written = false;  ///< the written note before it was sung, and not as another note
  bool out_of_tune = false;   ///< judged sharp or flat
  /// The index as a position in containers by written note.
  std::size_t position() const { return static_cast<std::size_t>(index); }
};
/// The judged notes of a Result, in order, with their errors against the take's own tuning curve.
std::vector<JudgedNote> judged_notes_of(std::span<const NoteResult> notes);

/// The judged notes of one take; takes of the same melody have the same melody number.
struct TakeNotes {
  std::size_t melody = 0;
  std::vector<JudgedNote> notes;
};

/// Names of the written notes of each melody, as names[melody][index].
using GroupNamesByMelody = std::vector<std::vector<std::vector<GroupName>>>;

/// The notes of a take that belong to a group: positions in TakeNotes::notes.
using Members = std::vector<std::size_t>;

struct Group {
  GroupName name;
  std::optional<std::size_t> melody;   ///< of a spot
  std::vector<Members> members;        ///< by take
  int sung = 0;                        ///< notes in all takes together
  int written = 0;                     ///< different written notes among them
  double alpha_weight = 0;             ///< share of the family-wise alpha; 0: not tested
  std::vector<GroupName> aliases;      ///< other names of the same notes
  std::vector<GroupName> complements;  ///< names of exactly all other notes
};

/// All groups, in the order in which their names first occur. A group is tested when it has at least 4 judged notes, on
/// at least 4 written notes (over several takes 2), and at most half of all judged notes. A spot is tested from 6 takes
/// of its melody on, when at least 3 and half of them sung it. Groups of the same notes, or of complementary notes, are
/// tested once: they are merged into one group with the sum of their weights.
std::vector<Group> make_groups(std::span<const TakeNotes> takes,
                               std::span<const std::vector<std::vector<GroupName>>> names);

/// One take for the regression, with an indicator column for each tested group. `index`: of the take in Group::members;
/// `first_note`: number of the melody's first note among the written notes of all melodies.
TakeSeries take_series(const TakeNotes& take, std::size_t index, std::size_t written_notes, std::size_t first_note,
                       std::span<const Group> groups);

}  // namespace firmus::habits
