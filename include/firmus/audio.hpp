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
#include "firmus/quantities.hpp"
#include "firmus/signal_quality.hpp"

namespace firmus {

namespace audio {
class AnonymousTempFile;
}

/// One channel at the analysis rate. Samples of a long take are kept in a temporary file, so they are copied out by
/// `read`, which several threads may call at once.
class Samples {
 public:
  static constexpr int rate_hz = 16000;
  Samples() = default;
  explicit Samples(std::vector<float> values) : values_(std::move(values)) {}
  /// The first `in_file` samples are in `file`, the others in `values`.
  Samples(std::shared_ptr<const audio::AnonymousTempFile> file, std::int64_t in_file, std::vector<float> values)
      : file_(std::move(file)), in_file_(in_file), values_(std::move(values)) {}
  std::int64_t size() const { return in_file_ + static_cast<std::int64_t>(values_.size()); }
  Seconds duration_s() const { return Seconds(static_cast<double>(size()) / rate_hz); }
  /// Copies samples [begin, begin + out.size()) to `out`; outside the recording they are 0. `begin` may be negative.
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
  int channel_used = 0;  ///< from 0: the most periodic one
  Seconds duration_s;    ///< of what was read
  SignalQuality signal_quality;
  Samples samples;
};

/// What to do with a recording in which there is no sound.
enum class Silence {
  reject,  ///< throw TakeError "silence"
  keep     ///< return the recording, with the warning `silence`
};

struct ReadOptions {
  Seconds longest_s = Seconds(30 * 60);
  /// A command line for files that libsndfile cannot read; not used for standard input. {} stands for the file. It is
  /// split at white space, except inside '...' and "...", is run without a shell, and must write WAV to standard
  /// output.
  std::optional<std::string> decoder;
  Silence silence = Silence::reject;
  /// Without a decoder: reads formats of phones (M4A, 3GP, AMR, WebM, WMA, CAF) through ffmpeg where it is in PATH.
  bool find_ffmpeg = false;
};

/// Whether reading the file starts ffmpeg with these options, by its first bytes; false where it cannot be opened.
bool is_read_by_ffmpeg(const std::string& path, const ReadOptions& options);

/// Reads a recording from a path ("-": standard input, which can be read once only). Throws TakeError (missing,
/// unreadable, empty, not_audio, phone_format, not_a_file, rate, channels, too_long, silence) and, for an invalid
/// decoder command, InputError. Keeps the samples at the analysis rate in memory, or beyond ten minutes in a temporary
/// file. Standard input and the output of a decoder are kept in memory as a whole (512 MiB at most).
Recording read_recording(const std::string& path, const ReadOptions& options = {});

/// Splits a decoder command into words and puts `path` in the place of {}. Throws InputError (no program, no {}, an
/// unclosed quote): call it to check a command before the work begins.
std::vector<std::string> decoder_words(const std::string& command, const std::string& path);

/// Makes a recording from samples in memory: `interleaved` has frames x channels values at `rate_hz`. Throws TakeError
/// (rate, channels); silence gives a warning. The sha256 is of the bytes of `interleaved`.
Recording recording_from_samples(std::string name, std::span<const float> interleaved, int channels, int rate_hz);

}  // namespace firmus
