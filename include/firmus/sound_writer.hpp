// Writes sound to a file or a stream. All sound that the program writes goes through this class.
#pragma once
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>

namespace firmus {

enum class SoundFormat { wav, flac };

/// Receives the bytes of a file, block by block, in order. Throws WriteError when it cannot write them.
using ByteSink = std::function<void(std::string_view)>;

/// Writes one channel with 24 bits per sample to a temporary file in the folder of `path`. `finish` renames it to
/// `path`, so a partial file is never found there. Without `finish` the temporary file is removed.
class SoundWriter {
 public:
  /// Throws WriteError when the file cannot be created.
  SoundWriter(std::string path, SoundFormat format, int rate_hz);
  /// Writes the same bytes to a stream. They are kept in a temporary file until `finish`, since the header holds the
  /// length.
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
