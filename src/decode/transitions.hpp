// The states of the search, and what each way from one to another costs. Times and pitches are scored elsewhere
// (target_notes.hpp, segment_pitch.hpp).
#pragma once
#include <cstddef>
#include <cstdint>
#include <span>

#include "costs.hpp"
#include "target_notes.hpp"

namespace firmus::decode {

/// What a path is in, from one boundary to a later one, with its position in the melody.
enum class State : std::uint32_t {
  note,   ///< target note `position` sounds
  extra,  ///< a note that is not in the melody sounds; `position` target notes are done
  wait,   ///< no note; whatever sounds is not scored; `position` target notes are done
};

/// Costs of the ways between states at one boundary. To a note: the next one, `position` of the new state; other
/// targets cost more, see below. An extra note costs Costs::extra_note besides, wherever it comes from.
struct TransitionTable {
  struct Row {
    float to_note, to_extra, to_wait;
  };
  Row from_note, from_extra, from_wait, from_start;
};

constexpr TransitionTable transition_table(const Costs& costs) {
  constexpr float free = 0, by_duration = 0, never = 1e30F;  // by_duration: DurationCost
  return {
      //              to_note        to_extra             to_wait
      .from_note = {by_duration, costs.extra_entry, costs.wait_entry},
      .from_extra = {costs.untimed, free, free},
      .from_wait = {costs.untimed, free, free},
      .from_start = {free, costs.entry_before, never},  // to later notes: begin_cost_by_count, begin_cost_anywhere
  };
}

/// From note to note with target notes left out between: the cost of one of them.
float skip_cost(const TargetNote& left_out, bool is_first, const Costs& costs);

/// From the start to target note `to`, by the number of notes that are missing.
float begin_cost_by_count(std::size_t to, const Costs& costs);
/// ... or to any target note.
float begin_cost_anywhere(std::span<const TargetNote> targets, std::size_t to, const Costs& costs);
/// Number of first notes for which begin_cost_by_count can be the lower one.
std::size_t notes_begun_by_count(const Costs& costs);

/// From a wait to a target note later than the next: a passage is left out. Costs::wait_entry, which the path has paid,
/// counts towards the cost of a jump.
float forward_jump_cost(std::span<const TargetNote> targets, std::size_t to, const Costs& costs);
/// From a wait to a target note before the position of the wait: another attempt.
float restart_cost(std::span<const TargetNote> targets, std::size_t to, const Costs& costs);

/// From note or wait to the end of the recording, with `done` of the target notes done.
float end_cost(std::size_t done, std::size_t target_notes, const Costs& costs);

}  // namespace firmus::decode
