// libsndfile over Bytes: frames in, and nothing else of it leaves this file pair.
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
  /// None when libsndfile knows no way to read the bytes.
  static std::optional<SoundFile> open(const Bytes& bytes);

  int rate_hz() const { return rate_hz_; }
  int channels() const { return channels_; }
  /// Frames that the file says it has; none when it does not say (a FLAC stream: RFC 9639, total samples 0).
  std::optional<std::int64_t> declared_frames() const { return declared_frames_; }
  /// The file's count of frames may be off by padding or an estimate (MP3), so that a small lack means nothing.
  bool declared_length_is_rough() const { return declared_length_is_rough_; }
  /// The smallest step between two large values, of a full scale of 1: the flat tops of quantisation are this high.
  double quantum() const { return quantum_; }

  /// Fills `interleaved` (a whole number of frames) and returns the frames read; 0 at the end or at unreadable data.
  std::int64_t read(std::span<float> interleaved);
  /// Goes to a frame; false when the file cannot.
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
