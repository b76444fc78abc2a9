#include <algorithm>

#include "assemble.hpp"
#include "decode/decode.hpp"
#include "evidence/evidence.hpp"
#include "firmus/habits.hpp"
#include "firmus/practice.hpp"
#include "firmus/take.hpp"
#include "measure/measure.hpp"
#include "onsets/onsets.hpp"
#include "pitch/pitch.hpp"
#include "room/room.hpp"
#include "sources/sources.hpp"
#include "trace.hpp"

namespace firmus::take {
namespace {

std::shared_ptr<const OnsetNet> net_of(const MeasureOptions& options) {
  return options.net ? options.net : default_onset_net();
}

void reject_silence(const CoarseF0Track& f0_track) {
  constexpr std::ptrdiff_t least_voiced_frames = 10;  // 50 ms in the whole take
  const auto voiced = std::ranges::count_if(f0_track.f0_hz, [](float hz) { return hz > 0; });
  if (voiced < least_voiced_frames)
    throw TakeError("silence", "no pitched sound was found",
                    "check that the microphone was on, and record again nearer to it");
}

Recording without_reverberation(Recording recording, Seconds reverberation_time) {
  recording.samples = without_late_reverberation(recording.samples, reverberation_time);
  return recording;
}

/// Not where the file itself is known to be incomplete: that is one fault, not two.
void warn_if_cut_off(const Decoded& decoded, std::vector<RecordingWarning>& warnings) {
  const bool is_known = std::ranges::any_of(
      warnings, [](const RecordingWarning& warning) { return warning.kind == RecordingFault::truncated; });
  if (is_known || !decoded.lacks_end) return;
  warnings.push_back({RecordingFault::truncated,
                      "the recording stops while a note still sounds, and the rest is missing",
                      "record again, and stop only when the last note has ended"});
}

}  // namespace
}  // namespace firmus::take

namespace firmus {

Result measure_take(const Recording& as_recorded, const Melody* melody, const MeasureOptions& options) {
  const std::optional<Seconds> reverberation_time = estimate_long_reverberation(as_recorded.samples);
  const Recording cleaned =
      reverberation_time ? take::without_reverberation(as_recorded, *reverberation_time) : Recording{};
  const Recording& recording = reverberation_time ? cleaned : as_recorded;
  const PitchRange range = melody ? search_range_of(*melody) : estimate_pitch_range(recording.samples, options.threads);
  const Evidence evidence = gather_evidence(recording.samples, range, options.threads);
  CoarseF0Track f0_track = viterbi_f0_track(evidence);
  take::reject_silence(f0_track);
  OnsetEvidence onsets = detect_onsets(recording.samples, evidence, f0_track, *take::net_of(options), options.threads);
  const std::vector<GivenNote> given = find_given_notes(recording.samples, evidence, f0_track, onsets);
  leave_out(given, f0_track, onsets);
  const double lower_sound_share = follow_voice_above(evidence, onsets, f0_track);
  const Observations observed{evidence, f0_track, onsets, &recording.samples, reverberation_time.has_value()};
  Decoded decoded = melody ? decode_melody(observed, *melody) : decode_any_notes(observed);
  std::optional<Melody> named;
  if (!melody && options.key && !decoded.notes.empty()) {
    named = take::melody_in_key(decoded, *options.key, options.settings);
    take::match_notes_in_turn(decoded);
    melody = &*named;
  }
  const std::vector<float> refined_hz = refine_track(recording.samples, decoded.f0_hz, options.threads);
  if (options.trace_dir) take::write_trace(*options.trace_dir, observed, decoded, refined_hz);
  Result result = take::describe_take(recording, options);
  if (!given.empty()) result.signal_quality.warnings.push_back(given_notes_warning(given));
  if (auto warning = detect_second_pitch(recording.samples, refined_hz))
    result.signal_quality.warnings.push_back(std::move(*warning));
  else if (lower_sound_share > 0)
    result.signal_quality.warnings.push_back(lower_sound_warning(lower_sound_share));
  take::warn_if_cut_off(decoded, result.signal_quality.warnings);
  const double reverberation_level = estimate_reverberation_level(as_recorded.samples, refined_hz, decoded.notes);
  const std::vector<NotePitch> pitches =
      measure_notes(recording.samples, refined_hz, decoded.notes, reverberation_level);
  if (melody) {
    take::measure_against_melody(result, recording, *melody, decoded, pitches);
    if (named) take::mark_as_named(result);
  } else {
    take::measure_against_nearest_notes(result, decoded, pitches);
  }
  take::summarise(result, melody != nullptr);
  if (melody && result.decision != AlignmentDecision::not_this_melody) {
    result.drill = drill_progress(*melody, result.notes, result.settings);
    result.habits = find_habits({melody, result.notes});
  }
  result.f0_track_hz = refined_hz;
  return result;
}

Result not_measured(const std::string& name, const TakeError& error, const MeasureOptions& options) {
  Result result;
  result.settings = options.settings;
  result.context = options.context;
  result.take.name = name;
  result.error = NotMeasured{error.kind, error.detail, error.advice};
  return result;
}

F0Track track_pitch(const Recording& recording, int threads) {
  const PitchRange range = estimate_pitch_range(recording.samples, threads);
  const Evidence evidence = gather_evidence(recording.samples, range, threads);
  const CoarseF0Track coarse = viterbi_f0_track(evidence);
  const OnsetEvidence onsets = detect_onsets(recording.samples, evidence, coarse, *default_onset_net(), threads);
  const Decoded decoded = decode_any_notes({evidence, coarse, onsets});
  F0Track track;
  track.f0_hz = refine_track(recording.samples, decoded.f0_hz, threads);
  track.level_dbfs = evidence.level_db;
  track.periodicity = coarse.nsdf_peak;
  for (std::size_t i = 0; i < evidence.frames(); ++i)
    for (const auto& candidate : evidence.at(i))
      track.periodicity[i] = std::max(track.periodicity[i], candidate.nsdf_peak);
  return track;
}

}  // namespace firmus
