// Every cost of the search. All are negative natural logs of odds, so they add up along a path.
#pragma once
#include <cstddef>

namespace firmus::decode {

/// Most values come from a prototype tuned on annotated takes, on which costs of a skip from 6 to 14 and duration
/// scales from 0.09 to 0.18 gave the same result; waits and restarts were set by hand. Of the rest only the beam was
/// varied. Which of them a path pays from one state to another: transitions.hpp.
struct Costs {
  // A note as such.
  float onset_weight = 1.5F;     ///< times the log odds of an onset where it begins: a gain
  float onset_clip = 7.0F;       ///< of these log odds, either way
  int least_voiced_frames = 12;  ///< 60 ms
  float unvoiced_frame = 0.4F;   ///< for each voiced frame fewer than that
  float least_note_s = 0.12F;
  float short_per_s = 60.0F;  ///< for each second less than that
  // The time from onset to onset.
  float duration_scale = 0.12F;  ///< |log of sung over written time| that costs 1
  float duration_knee = 4.0F;    ///< above this cost only ...
  float duration_tail = 0.6F;    ///< ... this much for each further unit of the log
  float untimed = 1.0F;          ///< instead of the duration's cost after an extra note or a wait
  // Target notes left out between two that follow each other in time.
  float skip_first = 8.0F;
  float skip_second = 5.6F;    ///< the second in a row
  float skip_optional = 1.0F;  ///< one marked `maybe`, or a grace note
  // Notes of one written pitch in a row that sound as one. 26 of them, as in a line that is mostly one note, must cost
  // less than giving the line up; less than 2 for each costs real takes notes that are there.
  float joined_note = 2.0F;             ///< for each but the first
  float joined_duration_scale = 0.08F;  ///< |log of sung over written time| of all of them that costs 1
  float joined_heard = 0.5F;            ///< share of the last one that sounds, at least, or ...
  float joined_unheard = 25.0F;         ///< ... this much for the whole of it: one that was left out is not heard
  // Notes that are not in the melody.
  float extra_note = 10.0F;
  float extra_entry = 0.5F;
  float entry_before = 8.0F;   ///< instead of extra_entry before the first target note: a scoop into it is no extra
  float speech_prior = 10.0F;  ///< discount for an extra before the first target note that has no stable pitch
  // Jumps in the melody.
  float wait_entry = 6.0F;          ///< after a note: what sounds until the melody goes on is not scored
  float jump_forward = 32.0F;       ///< a passage left out; with 16 or 24 takes that slide into the written key break
  float restart_at_begin = 22.0F;   ///< back to the first note
  float restart_at_phrase = 26.0F;  ///< ... to the start of a phrase
  float restart_elsewhere = 32.0F;
  float landing_short = 8.0F;  ///< for each note fewer than `landing_notes` that are left after a jump
  std::size_t landing_notes = 4;
  float begin_late = 12.0F;            ///< for each note missing at the beginning ...
  float begins_in_the_middle = 30.0F;  ///< ... or for all of them
  float end_early = 10.0F;             ///< for each note missing at the end ...
  /// ... or for all of them. Less than a jump forward, or a take that is cut off would end with a jump to the last
  /// note.
  float ends_at_most = 30.0F;
  // Where the recording is cut off within a note, notes are missing beyond the cut: that costs nearly nothing. A low
  // price for every recording would take skipped passages for early ends.
  float cut_off = 2.0F;          ///< instead of begin_late and end_early
  float cut_off_at_most = 6.0F;  ///< instead of begins_in_the_middle and ends_at_most
  // Limits of the search.
  float beam = 40.0F;  ///< scores so far behind the best at the same boundary are dropped; 60 finds the same
  std::size_t most_hypotheses = 64;  ///< of one state at one boundary
  double longest_note_s = 8.0;       ///< from its onset to the next
};

}  // namespace firmus::decode
