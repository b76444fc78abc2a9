// Many judged notes -> which groups of notes are off, by how much, how often. (Plain counts for now: decision is none.)
#pragma once
#include <span>
#include <vector>

#include "firmus/result.hpp"

namespace firmus {

/// Counts, mean and range of the interval error by interval name and direction, over the notes judged; largest mean
/// first. Intervals into and out of another note than the written one are left out: they say nothing about intonation.
std::vector<HabitRow> count_intervals(std::span<const NoteResult> notes);

}  // namespace firmus
