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
#include "firmus/signal_quality.hpp"

namespace firmus {

namespace audio {
class AnonymousTempFile;
}

/// One channel at the analysis rate. Values are read through `read`, by several threads if wished: those of long takes
/// lie in a temporary file.
class Samples {
 public:
  static constexpr int rate_hz = 16000;
  Samples() = default;
  explicit Samples(std::vector<float> values) : values_(std::move(values)) {}
  /// `in_file` samples lie in `file`, the rest in `values`.
  Samples(std::shared_ptr<const audio::AnonymousTempFile> file, std::int64_t in_file, std::vector<float> values)
      : file_(std::move(file)), in_file_(in_file), values_(std::move(values)) {}
  std::int64_t size() const { return in_file_ + static_cast<std::int64_t>(values_.size()); }
  double duration_s() const { return static_cast<double>(size()) / rate_hz; }
  /// Copies samples [begin, begin + out.size()) to `out`; outside the take they are 0. `begin` may be negative.
  void read(std::int64_t begin, std::span<float> out) const;

 private:
  std::shared_ptr<const audio::AnonymousTempFile> file_;
  std::int64_t in_file_ = 0;
  std::vector<float> values_;
};

struct Recording {
  std::string name;        ///< as given; display only
  std::string sha256;      ///< of the file's bytes
  int sample_rate_hz = 0;  ///< of the file
  int channels = 0;
  int channel_used = 0;   ///< from 0: the one with the most periodic sound
  double duration_s = 0;  ///< of what was read
  SignalQuality signal_quality;
  Samples samples;
};

/// What to do with a take that holds no sound at all.
enum class Silence {
  reject,  ///< TakeError "silence"
  keep     ///< a take like any other, with the warning `silence`
};

struct ReadOptions {
  double longest_s = 30 * 60;
  /// A command with {} for the file, split at white space ('...' and "..." hold together), run without a shell; must
  /// write WAV to its output. Used for files that cannot be read without it; never for standard input.
  std::optional<std::string> decoder;
  Silence silence = Silence::reject;
};

/// Reads a take from a path ("-": standard input, once). Throws TakeError (missing, unreadable, empty, not_audio,
/// phone_format, not_a_file, rate, channels, too_long, silence) and, for a decoder command that makes no sense,
/// InputError. Memory: the samples at the analysis rate, those of takes over ten minutes in a temporary file;
/// standard input and a decoder's output are held
/// whole (512 MiB at most).
Recording read_recording(const std::string& path, const ReadOptions& options = {});

/// The words of a decoder command with the file in its place. Throws InputError (no program, no {}, a quote left open),
/// so that a command line can be checked before any work.
std::vector<std::string> decoder_words(const std::string& command, const std::string& path);

/// Makes a take of samples that a caller holds: `interleaved` has frames x channels values at `rate_hz`. Throws
/// TakeError for rate and channels only: silence becomes a warning. The sha256 is that of the values' bytes.
Recording recording_from_samples(std::string name, std::span<const float> interleaved, int channels, int rate_hz);

}  // namespace firmus
