// The groups that are looked at: what was sung, sorted under the names of the written notes, with each name's share of
// the error rate.
#pragma once
#include <span>
#include <vector>

#include "firmus/habits.hpp"
#include "group_names.hpp"
#include "several_takes_model.hpp"

namespace firmus::habits {

/// A judged note of a take.
struct JudgedNote {
  int index = 0;
  double cents = 0, se_cents = 0;
  bool from_written = false;  ///< the written note before it was sung, and was no other note
};
/// Judged notes that are the written ones, in order; errors against the take's own centre line.
std::vector<JudgedNote> judged_notes_of(std::span<const NoteResult> notes);

/// One take to sort: its melody (takes of one melody have the same number), names and notes.
struct TakeNotes {
  std::size_t melody = 0;
  std::vector<JudgedNote> notes;
};

/// Which notes of a take belong to a group: positions in its `notes`.
using Members = std::vector<std::size_t>;

struct Group {
  GroupName name;
  std::optional<std::size_t> melody;        ///< of a spot
  std::vector<Members> members;             ///< by take
  int sung = 0;                             ///< in all takes together
  int written = 0;                          ///< different written notes among them
  double share = 0;                         ///< of the error rate; 0: only counted
  std::vector<GroupName> same, complement;  ///< other names of the same notes, and of all the others
};

/// All names, `names[melody][index]`, in the order of the written notes. Groups with at least 4 sung notes on enough
/// written ones, and at most half of all, get their shares; equal ones, and one half against the other, are one group.
std::vector<Group> make_groups(std::span<const TakeNotes> takes,
                               std::span<const std::vector<std::vector<GroupName>>> names);

/// The series of a take with the groups that have a share as members, in their order.
TakeSeries take_series(const TakeNotes& take, std::size_t index, std::size_t written_notes, std::size_t first_note,
                       std::span<const Group> groups);

}  // namespace firmus::habits
