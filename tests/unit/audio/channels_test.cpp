#include <doctest/doctest.h>
#include <sndfile.h>

#include <cmath>

#include "sounds.hpp"

namespace firmus::audio_test {
namespace {

constexpr int stereo_rate_hz = 44100;
constexpr double stereo_length_s = 4;

Recording stereo(const std::vector<float>& left, const std::vector<float>& right) {
  return recording_from_samples("stereo", interleave({left, right}), 2, stereo_rate_hz);
}

std::vector<float> voice() {
  return sum(line(stereo_length_s, stereo_rate_hz), noise(0.001, stereo_length_s, stereo_rate_hz));
}

}  // namespace

TEST_CASE("two_channels_against_each_other_do_not_cancel_and_are_named") {
  const auto left = voice();
  const Recording take = stereo(left, scaled(left, -1));
  CHECK(take.channel_used == 0);
  CHECK(has_warning(take, RecordingFault::opposite_phase));
  CHECK(values_of(take) == values_of(recording_from_samples("left", left, 1, stereo_rate_hz)));
}

TEST_CASE("two_channels_alike_or_unrelated_are_no_fault") {
  CHECK_FALSE(has_warning(stereo(voice(), voice()), RecordingFault::opposite_phase));
  CHECK_FALSE(
      has_warning(stereo(voice(), noise(0.1, stereo_length_s, stereo_rate_hz, 5)), RecordingFault::opposite_phase));
  // Crosstalk of opposite phase, 40 dB down: has no effect.
  CHECK_FALSE(has_warning(stereo(voice(), scaled(voice(), -0.01F)), RecordingFault::opposite_phase));
}

TEST_CASE("the_channel_with_the_voice_is_chosen") {
  const std::vector<float> silence(voice().size());
  CHECK(stereo(silence, voice()).channel_used == 1);
  CHECK(stereo(voice(), silence).channel_used == 0);
  CHECK(stereo(noise(0.3, stereo_length_s, stereo_rate_hz), voice()).channel_used == 1);  // however loud the noise is
  CHECK(stereo(voice(), noise(0.3, stereo_length_s, stereo_rate_hz)).channel_used == 0);
  CHECK(stereo(sum(voice(), noise(0.05, stereo_length_s, stereo_rate_hz, 3)), voice()).channel_used == 1);
}

TEST_CASE("a_hum_alone_is_periodic_but_too_soft_to_be_chosen") {
  CHECK(stereo(tone(50, stereo_length_s, stereo_rate_hz, 0.002), voice()).channel_used == 1);
}

TEST_CASE("a_channel_of_bad_values_is_not_chosen") {
  std::vector<float> bad(voice().size(), std::nanf(""));
  const Recording take = stereo(bad, voice());
  CHECK(take.channel_used == 1);
  CHECK_FALSE(has_warning(take, RecordingFault::bad_samples));
}

TEST_CASE("one_voice_among_64_channels_is_found") {
  const Folder folder;
  std::vector<std::vector<float>> channels(64);
  for (std::size_t i = 0; i < 64; ++i) channels[i] = noise(0.02, stereo_length_s, stereo_rate_hz, i + 1);
  channels[37] = voice();
  const auto path =
      write_sound(folder, "a.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, interleave(channels), 64, stereo_rate_hz);
  const Recording take = read_recording(path.value());
  CHECK(take.channels == 64);
  CHECK(take.channel_used == 37);
  CHECK(take.duration_s == doctest::Approx(stereo_length_s));
}

TEST_CASE("the_channel_is_chosen_alike_in_every_container") {
  const Folder folder;
  const auto sound = interleave({noise(0.1, stereo_length_s, stereo_rate_hz), voice()});
  for (const int format : {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_FLAC | SF_FORMAT_PCM_16,
                           SF_FORMAT_OGG | SF_FORMAT_VORBIS, SF_FORMAT_AIFF | SF_FORMAT_PCM_24}) {
    CAPTURE(format);
    const Recording take = read_recording(write_sound(folder, "a", format, sound, 2, stereo_rate_hz).value());
    CHECK(take.channel_used == 1);
    CHECK(take.channels == 2);
  }
}

}  // namespace firmus::audio_test
