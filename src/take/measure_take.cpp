#include <cmath>

#include "assemble.hpp"
#include "decode/decode.hpp"
#include "firmus/habits.hpp"
#include "firmus/practice.hpp"
#include "firmus/take.hpp"
#include "measure/measure.hpp"
#include "trace.hpp"

namespace firmus {
namespace {

std::shared_ptr<const OnsetNet> net_of(const MeasureOptions& options) {
  return options.net ? options.net : default_onset_net();
}

void refuse_silence(const Evidence& evidence) {
  constexpr std::size_t least_voiced_frames = 10;  // 50 ms in the whole take
  std::size_t voiced = 0;
  for (std::size_t i = 0; i < evidence.frames(); ++i) voiced += evidence.voiced(i);
  if (voiced < least_voiced_frames)
    throw TakeError("silence", "no pitched sound was found",
                    "check that the microphone was on, and record again nearer to it");
}

}  // namespace

Result measure_take(const Recording& take, const Melody* melody, const MeasureOptions& options) {
  const PitchRange range = melody ? search_range_of(*melody) : estimate_pitch_range(take.samples, options.threads);
  const Evidence evidence = gather_evidence(take.samples, range, *net_of(options), options.threads);
  refuse_silence(evidence);
  const Decoded decoded = melody ? decode_melody(evidence, *melody) : decode_any_notes(evidence);
  const std::vector<float> refined_hz = refine_track(take.samples, decoded.f0_hz, options.threads);
  if (options.trace_dir) write_trace(*options.trace_dir, evidence, decoded, refined_hz);
  Result result = describe_take(take, options);
  if (auto warning = detect_second_pitch(take.samples, refined_hz))
    result.signal_quality.warnings.push_back(std::move(*warning));
  if (melody) {
    fill_from_melody(result, take, *melody, decoded, refined_hz);
  } else {
    fill_nearest_notes(result, take, decoded, refined_hz);
  }
  summarise(result, melody != nullptr);
  if (melody && result.decision != AlignmentDecision::not_this_melody) {
    result.drill = drill_progress(*melody, result.notes, result.settings.reference);
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

F0Track track_pitch(const Recording& take, int threads) {
  const PitchRange range = estimate_pitch_range(take.samples, threads);
  const Evidence evidence = gather_evidence(take.samples, range, *default_onset_net(), threads);
  const Decoded decoded = decode_any_notes(evidence);
  F0Track track;
  track.f0_hz = refine_track(take.samples, decoded.f0_hz, threads);
  track.level_dbfs = evidence.level_db;
  track.periodicity = evidence.clarity;
  for (std::size_t i = 0; i < evidence.frames(); ++i)
    for (const auto& candidate : evidence.at(i))
      track.periodicity[i] = std::max(track.periodicity[i], candidate.strength);
  return track;
}

}  // namespace firmus
