// Notes put together by general means from a pitch line and a level: pauses, steps of pitch, dips of level.
#pragma once
#include <string>
#include <vector>

#include "pitch_line.hpp"

namespace firmus::bench {

struct SungNote {
  double onset_s = 0, end_s = 0, hz = 0;
};

/// All frames are hops of 5 ms. The values were searched on the very takes that they are scored on, by F1 of onsets and
/// half that with pitch and with ends: in the peers' favour.
struct NoteRules {
  std::string tracker;
  double least_confidence = 0;
  int lag_frames = 0;
  double above_floor_db = 0, below_top_db = 0;  ///< voiced is only what is louder than both (5 and 95 % of the take)
  std::size_t median_frames = 0;                ///< either way, over voiced frames
  std::size_t shortest_voiced_frames = 0, longest_gap_frames = 0;
  std::size_t longest_octave_frames = 0;  ///< what jumps an octave (or a twelfth, or two) for so long is put back
  std::size_t step_frames = 0;            ///< either way of a step
  double step_cents = 0, arrived_cents = 0;
  std::size_t dip_frames = 0;  ///< either way of a dip of level above 1 kHz
  double dip_db = 0;
  std::size_t shortest_note_frames = 0;
  double onset_shift_s = 0, inner_shift_s = 0, end_shift_s = 0;
  double end_below_db = 0;  ///< a note ends where its level above 1 kHz falls so far below its loudest
};

NoteRules best_yinfft_rules();
NoteRules best_yinfast_rules();
NoteRules best_rapt_rules();
NoteRules best_swipe_rules();

/// The line with what the rules call unvoiced taken out, smoothed, short gaps filled.
PitchLine tidy_line(const Sound& sound, const Levels& levels, const NoteRules& rules);

std::vector<SungNote> notes_by_steps(const PitchLine& tidy, const Levels& levels, const NoteRules& rules);

}  // namespace firmus::bench
