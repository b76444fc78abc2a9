// Stage `sources`: which parts of a recording are not the student's. Where a piano or a guitar gives each note, and the
// student sings it after, the struck strings are found by what no voice does (their level falls steadily, their pitch
// stands still, all of them lie on one tuning) and by their place: before a note of the same pitch that is none of
// that. The recording is decided on first, as a whole, by the likelihood of one source against two; then each stretch
// of sound. `decode` gets the f0 track and the log odds of onsets without them, so that it knows of one voice alone.
//
// Where an instrument plays along an octave or two under the voice, the track is moved up to the voice.
//
// No given notes are found where the student plays a struck or plucked instrument: then all stretches are alike.
#pragma once
#include <cstddef>
#include <vector>

#include "evidence/evidence.hpp"
#include "firmus/signal_quality.hpp"
#include "onsets/onsets.hpp"
#include "pitch/pitch.hpp"

namespace firmus {

/// Frames [begin, end) in which an instrument gives a note.
struct GivenNote {
  std::size_t begin = 0, end = 0;
};

/// The given notes by time; empty where none are given. Fewer than five are never found.
std::vector<GivenNote> find_given_notes(const Samples& samples, const Evidence& evidence, const CoarseF0Track& f0_track,
                                        const OnsetEvidence& onsets);

/// Makes the frames of given notes unvoiced, and onsets and ends in them unlikely.
void leave_out(const std::vector<GivenNote>& given, CoarseF0Track& f0_track, OnsetEvidence& onsets);

/// Says that they were left out.
RecordingWarning given_notes_warning(const std::vector<GivenNote>& given);

/// Where another sound an octave or two under the voice sounds along (an instrument that doubles it, a bass), the f0
/// track follows the period that they have in common. Decides so for the recording as a whole, and moves the track up
/// to the candidates of the voice. Returns the share of the voiced time with such a sound, 0 where there is none.
double follow_voice_above(const Evidence& evidence, const OnsetEvidence& onsets, CoarseF0Track& f0_track);

RecordingWarning lower_sound_warning(double share);

}  // namespace firmus
