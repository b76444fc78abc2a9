// How good a recording is: its level, its noise, and what is wrong with it.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/enum_names.hpp"

namespace firmus {

/// What can be wrong with a recording. second_voice and sample_rate are found by the stage `measure`, given_notes (an
/// instrument gives each note before it is sung) by `sources`, the rest by `audio`; truncated by `audio` where the file
/// is incomplete, and by `decode` where it stops within a note.
enum class RecordingFault {
  silence,
  clipping,
  low_level,
  noise,
  hum,
  second_voice,
  given_notes,
  sample_rate,
  truncated,
  bad_samples,
  opposite_phase
};
constexpr auto enum_names(RecordingFault) {
  using enum RecordingFault;
  return std::to_array<EnumName<RecordingFault>>({{silence, "silence"},
                                                  {clipping, "clipping"},
                                                  {low_level, "low_level"},
                                                  {noise, "noise"},
                                                  {hum, "hum"},
                                                  {second_voice, "second_voice"},
                                                  {given_notes, "given_notes"},
                                                  {sample_rate, "sample_rate"},
                                                  {truncated, "truncated"},
                                                  {bad_samples, "bad_samples"},
                                                  {opposite_phase, "opposite_phase"}});
}

/// A fault with what was measured (`detail`, with its figure) and what to do (`advice`), each one sentence.
struct RecordingWarning {
  RecordingFault kind;
  std::string detail;
  std::string advice;
};

struct SignalQuality {
  double level_dbfs = 0;         ///< 95th percentile of the RMS levels of 50 ms windows, dB re full scale
  std::optional<double> snr_db;  ///< level_dbfs minus the noise floor (5th percentile); none without a pause of 250 ms
  double clipped_share = 0;  ///< 0 to 1: share of the samples that are in flat runs at the recording's extreme value
  std::vector<RecordingWarning> warnings;
};

}  // namespace firmus
