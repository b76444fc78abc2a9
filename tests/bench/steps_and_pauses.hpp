// Rule-based note segmentation from an f0 track and a level: pauses, pitch steps and level dips.
#pragma once
#include <string>
#include <vector>

#include "f0_track.hpp"

namespace firmus::bench {

struct SungNote {
  double onset_s = 0, end_s = 0, hz = 0;
};

/// All frames are hops of 5 ms. The values were optimised on the takes that they are scored on, by F1 of onsets and, at
/// half weight, F1 with pitch and with ends. This favours the peers.
struct NoteRules {
  std::string tracker;
  double least_confidence = 0;
  int lag_frames = 0;
  double above_floor_db = 0, below_top_db = 0;  ///< voiced frames are above both (floor, top: quantiles 0.05, 0.95)
  std::size_t median_frames = 0;                ///< half width, over voiced frames
  std::size_t shortest_voiced_frames = 0, longest_gap_frames = 0;
  std::size_t longest_octave_frames =
      0;                        ///< longest run that is corrected after a jump of an octave, twelfth or two octaves
  std::size_t step_frames = 0;  ///< on either side of a step
  double step_cents = 0, arrived_cents = 0;
  std::size_t dip_frames = 0;  ///< on either side of a dip of the level above 1 kHz
  double dip_db = 0;
  std::size_t shortest_note_frames = 0;
  double onset_shift_s = 0, inner_shift_s = 0, end_shift_s = 0;
  double end_below_db = 0;  ///< a note ends where its level above 1 kHz is this far below its maximum
};

NoteRules best_yinfft_rules();
NoteRules best_yinfast_rules();
NoteRules best_rapt_rules();
NoteRules best_swipe_rules();

/// The f0 track without the frames that the rules call unvoiced, smoothed, with short gaps filled.
F0Track tidy_track(const Sound& sound, const Levels& levels, const NoteRules& rules);

std::vector<SungNote> notes_by_steps(const F0Track& tidy, const Levels& levels, const NoteRules& rules);

}  // namespace firmus::bench
