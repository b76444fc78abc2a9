// Measures one take by calling the stages in order.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "firmus/audio.hpp"
#include "firmus/melody.hpp"
#include "firmus/result.hpp"

namespace firmus {

/// Weights of the onset network, fitted by src/fit.
class OnsetNet;

struct MeasureOptions {
  Settings settings;
  Context context;
  std::optional<Key> key;                ///< of a take without a melody: its notes are named and judged in this key
  std::shared_ptr<const OnsetNet> net;   ///< null: the built-in network
  std::optional<std::string> trace_dir;  ///< folder for CSV files with the data of each stage; none: not written
  int threads = 1;                       ///< per take; results do not depend on the number
};

/// Measures one take. With `melody` null its notes are named from its own centre and drift: with `options.key` by the
/// degrees of the key, then judged like those of a melody (MelodyFacts::from_take), else by the nearest notes of the
/// tuning, and nothing is judged. Throws TakeError when there is no pitched sound.
Result measure_take(const Recording& take, const Melody* melody, const MeasureOptions& options);

/// Equal in two programs that give the same results, such as "0.2+3f2a91c0d4e5": the first two numbers of the version
/// and a digest of the sources that measure. A result of another version is measured again rather than used beside new
/// ones.
std::string_view measurement_version();

/// The Result of a take that could not be read.
Result not_measured(const std::string& name, const TakeError& error, const MeasureOptions& options);

/// The melody that a result was measured against, parsed from its saved text. None when the result has no melody, the
/// text is invalid, or its number of notes differs from the one measured. `name` is the name of the result.
std::optional<Melody> melody_of(const Result& result, const std::string& name);

/// The refined pitch track: one value per 5 ms in each vector, all of one size.
struct F0Track {
  std::vector<float> f0_hz;        ///< 0 where unvoiced
  std::vector<float> periodicity;  ///< peak of the normalised square difference function, 0 to 1
  std::vector<float> level_dbfs;
};
F0Track track_pitch(const Recording& take, int threads = 1);

}  // namespace firmus
