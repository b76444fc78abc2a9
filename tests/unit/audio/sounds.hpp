// Sounds and files for the audio tests: tones, a sequence of tones with pauses, noise; written by libsndfile.
#pragma once
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/audio.hpp"
#include "firmus/error.hpp"

namespace firmus::audio_test {

/// A sine that starts with phase 0 at time 0.
std::vector<float> tone(double frequency_hz, double seconds, int rate_hz, double amplitude = 0.5);

/// Uniformly distributed, repeatable white noise of the given root mean square.
std::vector<float> noise(double rms, double seconds, int rate_hz, std::uint64_t seed = 1);

/// Notes of 0.6 s with harmonics, 0.3 s apart, for `seconds`: as a take has. Pauses are exactly 0.
std::vector<float> line(double seconds, int rate_hz, double amplitude = 0.3);

/// The same notes without a gap between them.
std::vector<float> line_without_pauses(double seconds, int rate_hz, double amplitude = 0.3);

std::vector<float> sum(std::vector<float> a, const std::vector<float>& b);
std::vector<float> scaled(std::vector<float> values, float factor);
std::vector<float> interleave(const std::vector<std::vector<float>>& channels);

/// A temporary folder, removed by the destructor.
class Folder {
 public:
  Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder();
  std::string path(std::string_view name) const { return (path_ / name).string(); }
  /// Writes bytes; returns the path.
  std::string write(std::string_view name, std::string_view bytes) const;

 private:
  std::filesystem::path path_;
};

std::string read_bytes(const std::string& path);

/// Writes a sound in a libsndfile format (SF_FORMAT_...); none when this libsndfile cannot write it.
std::optional<std::string> write_sound(const Folder& folder, std::string_view name, int format,
                                       const std::vector<float>& interleaved, int channels, int rate_hz);

/// What read_recording throws for `path`; none when it reads it.
std::optional<TakeError> error_of(const std::string& path, const ReadOptions& options = {});

bool has_warning(const Recording& take, RecordingFault kind);
/// "hum: ...; noise: ..." for messages.
std::string warnings_of(const Recording& take);

std::vector<float> values_of(const Recording& take);

}  // namespace firmus::audio_test
