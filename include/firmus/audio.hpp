// From a file to samples, and what is wrong with the file. The only stage that touches libsndfile.
#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"

namespace firmus {

/// What can be wrong with a recording. second_voice and sample_rate are found later in the line, the rest here.
enum class RecordingFault {
  silence,
  clipping,
  low_level,
  noise,
  hum,
  second_voice,
  sample_rate,
  truncated,
  bad_samples,
  opposite_phase
};
std::string_view to_string(RecordingFault fault);

/// A fault with what was measured (`detail`, with its figure) and what to do (`advice`), each one sentence.
struct RecordingWarning {
  RecordingFault kind;
  std::string detail;
  std::string advice;
};

struct Recording {
  double level_dbfs = 0;  ///< level of the loud part (95th percentile of 50 ms levels), dB below full scale
  std::optional<double>
      snr_db;  ///< that level over the noise floor (5th percentile); none when nothing is quiet enough to tell
  double clipped_share = 0;  ///< 0 to 1, of samples in flat runs at the take's own extreme
  std::vector<RecordingWarning> warnings;
};

class NamelessFile;

/// One channel at the analysis rate. Values are read through `read`, by several threads if wished: those of long takes
/// lie in a temporary file.
class Samples {
 public:
  static constexpr int rate_hz = 16000;
  Samples() = default;
  explicit Samples(std::vector<float> values) : values_(std::move(values)) {}
  /// `in_file` samples lie in `file`, the rest in `values`.
  Samples(std::shared_ptr<const NamelessFile> file, std::int64_t in_file, std::vector<float> values)
      : file_(std::move(file)), in_file_(in_file), values_(std::move(values)) {}
  std::int64_t size() const { return in_file_ + static_cast<std::int64_t>(values_.size()); }
  double duration_s() const { return static_cast<double>(size()) / rate_hz; }
  /// Copies samples [begin, begin + out.size()) to `out`; outside the take they are 0. `begin` may be negative.
  void read(std::int64_t begin, std::span<float> out) const;

 private:
  std::shared_ptr<const NamelessFile> file_;
  std::int64_t in_file_ = 0;
  std::vector<float> values_;
};

struct Take {
  std::string name;        ///< as given; display only
  std::string sha256;      ///< of the file's bytes
  int sample_rate_hz = 0;  ///< of the file
  int channels = 0;
  int channel_used = 0;   ///< from 0: the one with the most periodic sound
  double duration_s = 0;  ///< of what was read
  Recording recording;
  Samples samples;
};

/// What to do with a take that holds no sound at all.
enum class Silence {
  refuse,  ///< TakeError "silence"
  keep     ///< a take like any other, with the warning `silence`
};

struct ReadOptions {
  double longest_s = 30 * 60;
  /// A command with {} for the file, split at white space ('...' and "..." hold together), run without a shell; must
  /// write WAV to its output. Used for files that cannot be read without it; never for standard input.
  std::optional<std::string> decoder;
  Silence silence = Silence::refuse;
};

/// Reads a take from a path ("-": standard input, once). Throws TakeError (missing, unreadable, empty, not_audio,
/// phone_format, not_a_file, rate, channels, too_long, silence) and, for a decoder command that makes no sense,
/// InputError. Memory: the samples at the analysis rate, those of takes over ten minutes in a temporary file;
/// standard input and a decoder's output are held
/// whole (512 MiB at most).
Take read_take(const std::string& path, const ReadOptions& options = {});

/// The words of a decoder command with the file in its place. Throws InputError (no program, no {}, a quote left open),
/// so that a command line can be checked before any work.
std::vector<std::string> decoder_words(const std::string& command, const std::string& path);

/// Makes a take of samples that a caller holds: `interleaved` has frames x channels values at `rate_hz`. Throws
/// TakeError for rate and channels only: silence becomes a warning. The sha256 is that of the values' bytes.
Take take_from_samples(std::string name, std::span<const float> interleaved, int channels, int rate_hz);

}  // namespace firmus
