#include <doctest/doctest.h>
#include <sndfile.h>

#include <cmath>
#include <numbers>
#include <string>

#include "base/base.hpp"
#include "sounds.hpp"

namespace firmus::audio_test {
namespace {

struct Format {
  const char* name;
  int format;
  int rate_hz;
  double tolerance;  ///< of a sample's value
};

constexpr Format formats[] = {
    {"a8.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_U8, 44100, 0.01},
    {"a16.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, 44100, 2e-4},
    {"a24.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_24, 48000, 2e-4},
    {"a32.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_32, 22050, 2e-4},
    {"float.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT, 44100, 2e-4},
    {"double.wav", SF_FORMAT_WAV | SF_FORMAT_DOUBLE, 96000, 2e-4},
    {"ulaw.wav", SF_FORMAT_WAV | SF_FORMAT_ULAW, 8000, 0.03},
    {"big.wav", SF_FORMAT_RF64 | SF_FORMAT_PCM_16, 44100, 2e-4},
    {"ext.wav", SF_FORMAT_WAVEX | SF_FORMAT_PCM_24, 44100, 2e-4},
    {"a.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 44100, 2e-4},
    {"a.au", SF_FORMAT_AU | SF_FORMAT_PCM_16, 44100, 2e-4},
    {"a.caf", SF_FORMAT_CAF | SF_FORMAT_PCM_16, 44100, 2e-4},
    {"a16.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 44100, 2e-4},
    {"a24.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_24, 192000, 2e-4},
    {"a.ogg", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 44100, 0.05},
    {"a.opus", SF_FORMAT_OGG | SF_FORMAT_OPUS, 48000, 0.05},
    {"a.mp3", 0x230000 | 0x0082, 44100, 0.05},  // SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III
};

double value_at(const std::vector<float>& values, std::size_t i) {
  return static_cast<double>(values.at(i));
}

}  // namespace

TEST_CASE("every_format_gives_the_same_tone_at_the_same_time") {
  const Folder folder;
  for (const Format& format : formats) {
    CAPTURE(format.name);
    const auto sound = tone(440, 1, format.rate_hz, 0.5);
    const auto path = write_sound(folder, format.name, format.format, sound, 1, format.rate_hz);
    if (!path) {
      MESSAGE("this libsndfile does not write " << format.name << "; reading it is not tested here");
      continue;
    }
    const Recording take = read_recording(*path);
    CHECK(take.sample_rate_hz == format.rate_hz);
    CHECK(take.channels == 1);
    CHECK(take.duration_s == doctest::Approx(1).epsilon(0.002));
    CHECK(take.sha256 == sha256_hex(read_bytes(*path)));
    CHECK(take.name == *path);
    CHECK_MESSAGE(take.signal_quality.warnings.empty(), warnings_of(take));
    const auto values = values_of(take);
    for (std::size_t i = 4000; i < 12000; ++i) {
      const double ideal = 0.5 * std::sin(2 * std::numbers::pi * 440 * static_cast<double>(i) / 16000);
      REQUIRE(std::abs(value_at(values, i) - ideal) < format.tolerance);
    }
  }
}

TEST_CASE("the_level_is_that_of_the_loud_part") {
  // A sine of amplitude 0.5: 20 log10(0.5 / sqrt 2) = -9.031 dBFS.
  const Recording take = recording_from_samples("tone", tone(440, 2, 44100, 0.5), 1, 44100);
  CHECK(take.signal_quality.level_dbfs == doctest::Approx(-9.031).epsilon(0.001));
}

TEST_CASE("samples_outside_the_take_are_silent") {
  const Samples samples(std::vector<float>{1, 2, 3});
  std::vector<float> out(7, 9);
  samples.read(-2, out);
  CHECK(out == std::vector<float>{0, 0, 1, 2, 3, 0, 0});
  samples.read(2, out);
  CHECK(out == std::vector<float>{3, 0, 0, 0, 0, 0, 0});
  samples.read(100, out);
  CHECK(out == std::vector<float>(7, 0));
  samples.read(-100, out);
  CHECK(out == std::vector<float>(7, 0));
}

TEST_CASE("a_take_of_samples_is_the_same_as_the_file_that_holds_them") {
  const Folder folder;
  const auto sound = line(2, 44100);
  const auto path = write_sound(folder, "a.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT, sound, 1, 44100);
  const Recording from_file = read_recording(path.value()), from_samples = recording_from_samples("a", sound, 1, 44100);
  CHECK(values_of(from_file) == values_of(from_samples));
  CHECK(from_file.signal_quality.level_dbfs == from_samples.signal_quality.level_dbfs);
}

TEST_CASE("a_longest_take_is_measured_and_a_longer_one_refused") {
  const Folder folder;
  const auto path = write_sound(folder, "a.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, tone(440, 2, 44100), 1, 44100);
  ReadOptions options;
  options.longest_s = Seconds(2);
  CHECK_FALSE(error_of(path.value(), options));
  options.longest_s = Seconds(1.99);
  CHECK(error_of(path.value(), options)->kind == "too_long");
}

}  // namespace firmus::audio_test
