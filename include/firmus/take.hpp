// The order of the stages for one take, and nothing else.
#pragma once
#include <memory>
#include <optional>
#include <string>

#include "firmus/audio.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// The fitted weights of the onset evidence (see src/fit).
class OnsetNet;

struct MeasureOptions {
  Settings settings;
  Context context;
  std::shared_ptr<const OnsetNet> net;   ///< none: the built-in one
  std::optional<std::string> trace_dir;  ///< where to write what each stage saw, as CSV
  int threads = 1;                       ///< that work on one take; the result is the same
};

/// Measures one take. Without a melody: the nearest notes of the tuning, no alignment, no mark.
/// Throws TakeError when there is no pitched sound.
Result measure_take(const Recording& take, const Melody* melody, const MeasureOptions& options);

/// The Result of a take that could not be read.
Result not_measured(const std::string& name, const TakeError& error, const MeasureOptions& options);

/// The melody that a result was measured against, read from its text; none where it has none, the text cannot be read,
/// or it has not the notes that were measured. `name` is that of the result, for problems.
std::optional<Melody> melody_of(const Result& result, const std::string& name);

/// The pitch track alone, refined: one row per 5 ms.
struct F0Track {
  std::vector<float> f0_hz;        ///< 0 where unvoiced
  std::vector<float> periodicity;  ///< 0 to 1
  std::vector<float> level_dbfs;
};
F0Track track_pitch(const Recording& take, int threads = 1);

}  // namespace firmus
