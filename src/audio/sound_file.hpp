// Reads frames from Bytes by libsndfile, of which nothing is visible outside this file pair.
#pragma once
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "bytes.hpp"

namespace firmus::audio {

/// An audio file that libsndfile could open. Keeps a reference to its bytes, which must outlive it.
class SoundFile {
 public:
  /// None when libsndfile cannot read the format.
  static std::optional<SoundFile> open(const Bytes& bytes);

  int rate_hz() const { return rate_hz_; }
  int channels() const { return channels_; }
  /// Number of frames declared in the file; none when it is not declared (a FLAC stream: RFC 9639, total samples 0).
  std::optional<std::int64_t> declared_frames() const { return declared_frames_; }
  /// The declared number may include padding or be an estimate (MP3), so that a small difference is no sign of
  /// truncation.
  bool declared_length_is_rough() const { return declared_length_is_rough_; }
  /// Quantisation step at large values, relative to full scale.
  double quantum() const { return quantum_; }

  /// Fills `interleaved` (a whole number of frames) and returns the number of frames read; 0 at the end and at
  /// unreadable data.
  std::int64_t read(std::span<float> interleaved);
  /// Moves to a frame; false when seeking fails.
  bool seek(std::int64_t frame);

 private:
  struct Cursor;
  struct Closer {
    void operator()(void* file) const;
  };
  SoundFile() = default;

  std::shared_ptr<Cursor> cursor_;
  std::unique_ptr<void, Closer> file_;
  int rate_hz_ = 0;
  int channels_ = 0;
  std::optional<std::int64_t> declared_frames_;
  bool declared_length_is_rough_ = false;
  double quantum_ = 0;
  bool is_16_bit_ = false;
  std::vector<short> integers_;  ///< scratch
};

}  // namespace firmus::audio
