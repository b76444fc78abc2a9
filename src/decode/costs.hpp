// What decoding pays for, in one place. All on one scale: natural log of odds.
#pragma once

namespace firmus::decode {

/// Most values come from a prototype tuned on annotated takes, where costs of a skip from 6 to 14 and duration scales
/// from 0.09 to 0.18 changed nothing; waits and restarts are set by hand. Here only the beam was varied.
struct Costs {
  float onset_weight = 1.5F;  ///< of the onset log odds at a note's start
  float onset_clip = 7.0F;
  int least_voiced_frames = 12;  ///< 60 ms; each missing frame costs
  float unvoiced_frame = 0.4F;
  float least_note_s = 0.12F;
  float short_per_s = 60.0F;
  float duration_scale = 0.12F;  ///< |log of sung over written time between starts| that costs 1
  float duration_knee = 4.0F;    ///< beyond this cost only ...
  float duration_tail = 0.6F;    ///< ... this much for each further unit of the log
  float untimed = 1.0F;          ///< in place of the duration's cost where an extra note or a wait lies between
  float skip_first = 8.0F;       ///< a written note left out
  float skip_second = 5.6F;      ///< and the next as well
  float skip_optional = 1.0F;    ///< one marked `maybe`, or a grace note
  float extra_note = 10.0F;
  float extra_entry = 0.5F;
  float entry_before = 8.0F;        ///< in place of it before the first written note: a scoop into it is no extra
  float speech_prior = 10.0F;       ///< less for an extra before the first written note whose pitch does not rest: talk
  float wait_entry = 6.0F;          ///< leaving the melody: what sounds until it goes on is not looked at
  float jump_forward = 32.0F;       ///< a passage left out; 16 or 24 break takes that slide to the written key
  float restart_at_begin = 22.0F;   ///< going back to the first note
  float restart_at_phrase = 26.0F;  ///< ... to the start of a phrase
  float restart_elsewhere = 32.0F;
  float landing_short = 8.0F;  ///< for each note short of `landing_notes` that are left after a jump
  std::size_t landing_notes = 4;
  float begin_late = 12.0F;            ///< for each note missing at the beginning ...
  float begins_in_the_middle = 30.0F;  ///< ... or for all
  float end_early = 10.0F;             ///< for each note missing at the end
  float ends_at_most =
      30.0F;           ///< less than a jump forward, or a take that is cut off would end with a jump to the last note
  float beam = 40.0F;  ///< paths so far behind the best at the same moment are dropped; 60 finds the same
  std::size_t most_hypotheses = 64;  ///< of one kind at the same moment
  double longest_note_s = 8.0;       ///< between one start and the next
};

}  // namespace firmus::decode
