#include "sounds.hpp"

#include <sndfile.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <numbers>
#include <stdexcept>

namespace firmus::audio_test {
namespace {

std::size_t count_of(double seconds, int rate_hz) {
  return static_cast<std::size_t>(std::lround(seconds * rate_hz));
}

/// A note of a voice-like tone with soft ends: eight harmonics, the higher the weaker.
float note_value(double frequency_hz, double time_s, double length_s, double amplitude) {
  const double ends_s = 0.02;
  const double envelope = std::clamp(std::min(time_s, length_s - time_s) / ends_s, 0.0, 1.0);
  double value = 0;
  for (int k = 1; k <= 8; ++k) value += std::sin(2 * std::numbers::pi * frequency_hz * k * time_s) / (k * k);
  return static_cast<float>(amplitude * envelope * value);
}

std::vector<float> notes(double seconds, int rate_hz, double amplitude, double length_s, double apart_s) {
  const double frequencies_hz[] = {261.6256, 293.6648, 329.6276, 349.2282, 391.9954};
  std::vector<float> values(count_of(seconds, rate_hz));
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double at_s = static_cast<double>(i) / rate_hz;
    const auto index = static_cast<std::size_t>(at_s / apart_s);
    const double in_note_s = at_s - static_cast<double>(index) * apart_s;
    if (in_note_s < length_s) values[i] = note_value(frequencies_hz[index % 5], in_note_s, length_s, amplitude);
  }
  return values;
}

}  // namespace

std::vector<float> tone(double frequency_hz, double seconds, int rate_hz, double amplitude) {
  std::vector<float> values(count_of(seconds, rate_hz));
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = static_cast<float>(amplitude *
                                   std::sin(2 * std::numbers::pi * frequency_hz * static_cast<double>(i) / rate_hz));
  return values;
}

std::vector<float> noise(double rms, double seconds, int rate_hz, std::uint64_t seed) {
  std::vector<float> values(count_of(seconds, rate_hz));
  std::uint64_t state = seed * 0x9E3779B97F4A7C15ULL + 1;
  for (float& value : values) {
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    const double even = static_cast<double>(state >> 11) / 9007199254740992.0;  // 0 to 1
    value = static_cast<float>(rms * std::sqrt(12.0) * (even - 0.5));
  }
  return values;
}

std::vector<float> line(double seconds, int rate_hz, double amplitude) {
  return notes(seconds, rate_hz, amplitude, 0.6, 0.9);
}

std::vector<float> line_without_pauses(double seconds, int rate_hz, double amplitude) {
  std::vector<float> values(count_of(seconds, rate_hz));
  double phase = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double at_s = static_cast<double>(i) / rate_hz;
    phase += 220 * std::exp2(std::floor(at_s / 0.7) / 12) / rate_hz;
    const double loudness = 0.6 + 0.4 * std::cos(2 * std::numbers::pi * at_s / 0.7);
    for (int k = 1; k <= 8; ++k)
      values[i] += static_cast<float>(amplitude * loudness * std::sin(2 * std::numbers::pi * k * phase) / (k * k));
  }
  return values;
}

std::vector<float> sum(std::vector<float> a, const std::vector<float>& b) {
  for (std::size_t i = 0; i < a.size(); ++i) a[i] += b.at(i);
  return a;
}

std::vector<float> scaled(std::vector<float> values, float factor) {
  for (float& value : values) value *= factor;
  return values;
}

std::vector<float> interleave(const std::vector<std::vector<float>>& channels) {
  std::vector<float> out;
  for (std::size_t i = 0; i < channels.front().size(); ++i)
    for (const auto& channel : channels) out.push_back(channel.at(i));
  return out;
}

Folder::Folder() {
  std::string name = (std::filesystem::temp_directory_path() / "firmus-audio-XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test's files");
  path_ = name;
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::string Folder::write(std::string_view name, std::string_view bytes) const {
  std::ofstream(path(name), std::ios::binary) << bytes;
  return path(name);
}

std::string read_bytes(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::optional<std::string> write_sound(const Folder& folder, std::string_view name, int format,
                                       const std::vector<float>& interleaved, int channels, int rate_hz) {
  SF_INFO info{};
  info.format = format;
  info.channels = channels;
  info.samplerate = rate_hz;
  const std::string path = folder.path(name);
  SNDFILE* const file = sf_open(path.c_str(), SFM_WRITE, &info);
  if (file == nullptr) return std::nullopt;
  sf_command(file, SFC_SET_CLIPPING, nullptr, SF_TRUE);
  // In pieces: the Vorbis encoder keeps what it is given in one call on its stack.
  const auto frames = static_cast<sf_count_t>(interleaved.size()) / channels;
  for (sf_count_t at = 0; at < frames; at += 4096)
    sf_writef_float(file, interleaved.data() + at * channels, std::min<sf_count_t>(4096, frames - at));
  sf_close(file);
  return path;
}

std::optional<TakeError> error_of(const std::string& path, const ReadOptions& options) {
  try {
    read_recording(path, options);
  } catch (const TakeError& error) {
    return error;
  }
  return std::nullopt;
}

bool has_warning(const Recording& take, RecordingFault kind) {
  const auto& warnings = take.signal_quality.warnings;
  return std::any_of(warnings.begin(), warnings.end(), [&](const RecordingWarning& w) { return w.kind == kind; });
}

std::string warnings_of(const Recording& take) {
  std::string text;
  for (const RecordingWarning& warning : take.signal_quality.warnings)
    text += std::string(to_string(warning.kind)) + ": " + warning.detail + "; ";
  return text;
}

std::vector<float> values_of(const Recording& take) {
  std::vector<float> values(static_cast<std::size_t>(take.samples.size()));
  take.samples.read(0, values);
  return values;
}

}  // namespace firmus::audio_test
