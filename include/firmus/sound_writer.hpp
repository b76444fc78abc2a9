// Sound to a file or a stream. The only way by which sound leaves the program.
#pragma once
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace firmus {

enum class SoundFormat { wav, flac };

/// Takes the bytes of a whole file, in blocks, in order; throws WriteError where it cannot.
using ByteSink = std::function<void(std::string_view)>;

/// One channel, 24 bits a sample, under a temporary name beside `path`; `finish` puts it in its place at once, so that
/// nothing half written is ever found there. Without `finish` nothing is left.
class SoundWriter {
 public:
  /// Throws WriteError when the file cannot be made.
  SoundWriter(std::string path, SoundFormat format, int rate_hz);
  /// The same bytes, to a stream: they wait in a temporary file, since a header tells the length, until `finish`.
  SoundWriter(ByteSink sink, SoundFormat format, int rate_hz);
  ~SoundWriter();
  SoundWriter(const SoundWriter&) = delete;
  SoundWriter& operator=(const SoundWriter&) = delete;
  void write(std::span<const float> samples);  ///< within -1 to 1. Throws WriteError
  void finish();                               ///< Throws WriteError

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace firmus
