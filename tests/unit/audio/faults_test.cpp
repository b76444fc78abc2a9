#include <doctest/doctest.h>
#include <sndfile.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "sounds.hpp"

namespace firmus::audio_test {
namespace {

constexpr int sample_rate_hz = 44100;
constexpr double take_length_s = 12;

/// A melody in a quiet room, about 45 dB above its noise.
std::vector<float> clean(double seconds = take_length_s) {
  return sum(line(seconds, sample_rate_hz), noise(0.001, seconds, sample_rate_hz));
}

Recording take_of(const std::vector<float>& values) {
  return recording_from_samples("take", values, 1, sample_rate_hz);
}

std::vector<float> mains(double base_hz, double amplitude) {
  auto hum = tone(base_hz, take_length_s, sample_rate_hz, amplitude);
  hum = sum(std::move(hum), tone(2 * base_hz, take_length_s, sample_rate_hz, amplitude / 2));
  return sum(std::move(hum), tone(3 * base_hz, take_length_s, sample_rate_hz, amplitude / 3));
}

std::vector<float> cut_at(std::vector<float> values, float limit) {
  for (float& value : values) value = std::clamp(value, -limit, limit);
  return values;
}

bool warns(const std::vector<float>& values, RecordingFault kind) {
  return has_warning(take_of(values), kind);
}

/// Bowed notes, steady, with many harmonics, one after the other without a gap.
std::vector<float> bowed(const std::vector<double>& frequencies_hz) {
  std::vector<float> values(static_cast<std::size_t>(take_length_s * sample_rate_hz));
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double at_s = static_cast<double>(i) / sample_rate_hz;
    const double frequency_hz = frequencies_hz[static_cast<std::size_t>(at_s / 1.5) % frequencies_hz.size()];
    for (int k = 1; k <= 12; ++k)
      values[i] += static_cast<float>(0.15 / k * std::sin(2 * std::numbers::pi * k * frequency_hz * at_s + k));
  }
  return sum(values, noise(0.0005, take_length_s, sample_rate_hz));
}

}  // namespace

TEST_CASE("a_clean_take_has_no_warning") {
  const Recording take = take_of(clean());
  CHECK_MESSAGE(take.signal_quality.warnings.empty(), warnings_of(take));
  CHECK(take.signal_quality.clipped_share == 0);
}

TEST_CASE("the_distance_to_the_noise_is_measured") {
  // Pauses of white noise at 20 log10(0.001) = -60 dBFS up to 22.05 kHz, of which 8 kHz are kept: -64.40 dBFS. The
  // quiet end of its 50 ms levels lies a little lower.
  const Recording take = take_of(clean());
  REQUIRE(take.signal_quality.snr_db);
  CHECK(take.signal_quality.level_dbfs - *take.signal_quality.snr_db == doctest::Approx(-64.4).epsilon(0.01));
}

TEST_CASE("a_take_without_a_pause_has_no_noise_floor") {
  CHECK_FALSE(
      take_of(sum(line_without_pauses(take_length_s, sample_rate_hz), noise(0.0005, take_length_s, sample_rate_hz)))
          .signal_quality.snr_db);
  CHECK_FALSE(take_of(tone(440, take_length_s, sample_rate_hz)).signal_quality.snr_db);
  CHECK_FALSE(take_of(line(take_length_s, sample_rate_hz))
                  .signal_quality.snr_db);  // its pauses are digital silence, without noise of a room
}

TEST_CASE("consonants_between_notes_without_a_pause_are_not_taken_for_the_noise_of_the_room") {
  // Every note begins with 80 ms of an unvoiced consonant, 15 dB under it: quiet, not periodic, and no pause.
  auto sung = line_without_pauses(take_length_s, sample_rate_hz);
  const auto hiss = noise(0.03, take_length_s, sample_rate_hz);
  const auto note = static_cast<std::size_t>(0.6 * sample_rate_hz),
             consonant = static_cast<std::size_t>(0.08 * sample_rate_hz);
  for (std::size_t i = 0; i < sung.size(); ++i)
    if (i % note < consonant) sung[i] = hiss[i];
  const Recording take = take_of(sum(sung, noise(0.001, take_length_s, sample_rate_hz)));
  CHECK_FALSE(take.signal_quality.snr_db);
  CHECK_FALSE(has_warning(take, RecordingFault::noise));
  // With half a second of room before the first note the noise is known: 4 % of the take, and 29 dB under the hiss.
  auto with_lead = noise(0.001, 0.5, sample_rate_hz, 2);
  with_lead.insert(with_lead.end(), sung.begin(), sung.end());
  const Recording led = take_of(with_lead);
  REQUIRE(led.signal_quality.snr_db);
  CHECK(led.signal_quality.level_dbfs - *led.signal_quality.snr_db == doctest::Approx(-64.4).epsilon(0.02));
}

TEST_CASE("clipping_is_found_at_any_height_and_not_where_there_is_none") {
  const auto loud = clean();
  for (const float limit : {0.25F, 0.3F}) {
    CAPTURE(limit);
    const Recording take = take_of(cut_at(loud, limit));
    CHECK(has_warning(take, RecordingFault::clipping));
    CHECK(take.signal_quality.clipped_share > 0.001);
    CHECK(has_warning(take_of(scaled(cut_at(loud, limit), 0.2F)), RecordingFault::clipping));
  }
  for (const double frequency_hz : {41.2034, 110.0, 440.0, 1000.0, 2637.0}) {
    CAPTURE(frequency_hz);
    CHECK(take_of(tone(frequency_hz, 3, sample_rate_hz, 0.999)).signal_quality.clipped_share == 0);
    CHECK(take_of(cut_at(tone(frequency_hz, 3, sample_rate_hz, 1), 0.8F)).signal_quality.clipped_share > 0.1);
  }
}

TEST_CASE("the_clipped_share_is_the_share_of_samples_at_the_limit") {
  // A sine cut at 0.8 of its amplitude is at its limit for 1 - 2/pi asin(0.8) = 0.4097 of the time.
  const Recording take = take_of(cut_at(tone(100, 3, sample_rate_hz, 1), 0.8F));
  CHECK(take.signal_quality.clipped_share == doctest::Approx(0.4097).epsilon(0.02));
}

TEST_CASE("rounding_to_few_bits_is_no_clipping") {
  const Folder folder;
  for (const int coding : {SF_FORMAT_PCM_U8, SF_FORMAT_PCM_16, SF_FORMAT_ULAW})
    for (const double frequency_hz : {55.0, 440.0}) {
      CAPTURE(frequency_hz);
      const auto path = write_sound(folder, "a.wav", SF_FORMAT_WAV | coding, tone(frequency_hz, 2, sample_rate_hz, 0.9),
                                    1, sample_rate_hz);
      CHECK(read_recording(path.value()).signal_quality.clipped_share == 0);
    }
}

TEST_CASE("one_bump_is_no_clipping") {
  auto values = clean();
  for (std::size_t i = 1000; i < 1040; ++i) values[i] = 0.99F;
  CHECK_FALSE(warns(values, RecordingFault::clipping));
}

TEST_CASE("a_take_that_is_too_soft_is_named") {
  CHECK(warns(scaled(clean(), 0.01F), RecordingFault::low_level));
  CHECK_FALSE(warns(scaled(clean(), 0.1F), RecordingFault::low_level));
}

TEST_CASE("noise_near_the_voice_is_named") {
  CHECK(warns(sum(clean(), noise(0.05, take_length_s, sample_rate_hz, 7)), RecordingFault::noise));
  CHECK_FALSE(warns(sum(clean(), noise(0.003, take_length_s, sample_rate_hz, 7)), RecordingFault::noise));
}

TEST_CASE("hum_is_found_at_the_mains_of_either_kind") {
  const Recording in_50 = take_of(sum(clean(), mains(50.02, 0.01))), in_60 = take_of(sum(clean(), mains(59.97, 0.01)));
  REQUIRE(has_warning(in_50, RecordingFault::hum));
  REQUIRE(has_warning(in_60, RecordingFault::hum));
  CHECK(warnings_of(in_50).find("50 Hz") != std::string::npos);
  CHECK(warnings_of(in_60).find("60 Hz") != std::string::npos);
  CHECK(warns(sum(clean(), tone(100, take_length_s, sample_rate_hz, 0.01)), RecordingFault::hum));
}

TEST_CASE("hum_that_is_the_noise_floor_is_not_called_noise_too") {
  const Recording take = take_of(sum(clean(), mains(50, 0.04)));
  CHECK(has_warning(take, RecordingFault::hum));
  CHECK_FALSE(has_warning(take, RecordingFault::noise));
}

// G1 48.9994, Ab1 51.9131, A1 55.0, B1 61.7354 Hz (equal temperament, A4 = 440 Hz).
TEST_CASE("low_strings_near_the_mains_are_no_hum") {
  CHECK_FALSE(warns(bowed({48.9994}), RecordingFault::hum));
  CHECK_FALSE(warns(bowed({61.7354}), RecordingFault::hum));
  CHECK_FALSE(warns(bowed({48.9994, 55.0, 61.7354, 51.9131}), RecordingFault::hum));
  CHECK_FALSE(warns(bowed({97.9989, 123.4708}), RecordingFault::hum));
}

// The second harmonic of A4, 880 Hz, lies 120 Hz off the rate at which hum is looked for.
TEST_CASE("a_steady_tone_whose_harmonics_fold_onto_the_mains_is_no_hum") {
  const auto steady =
      sum(tone(440, take_length_s, sample_rate_hz, 0.1), tone(880, take_length_s, sample_rate_hz, 0.05));
  CHECK_FALSE(warns(steady, RecordingFault::hum));
  CHECK(warns(sum(steady, mains(60, 0.02)), RecordingFault::hum));
}

TEST_CASE("a_string_that_rings_on_between_notes_is_no_hum") {
  // Even at the mains' own frequency it dies away.
  std::vector<float> values = clean();
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double in_note_s = std::fmod(static_cast<double>(i) / sample_rate_hz, 0.9);
    values[i] += static_cast<float>(0.1 * std::exp(-in_note_s * 8) * std::sin(2 * std::numbers::pi * 50 * in_note_s));
  }
  CHECK_FALSE(warns(values, RecordingFault::hum));
}

TEST_CASE("hum_far_below_the_voice_is_left_alone") {
  CHECK_FALSE(warns(sum(clean(), mains(50, 0.001)), RecordingFault::hum));
}

TEST_CASE("values_that_are_no_numbers_become_silence_and_are_counted") {
  auto values = clean();
  values[100] = std::numeric_limits<float>::quiet_NaN();
  values[20000] = std::numeric_limits<float>::infinity();
  values[30000] = -std::numeric_limits<float>::infinity();
  values[40000] = 1e30F;
  const Folder folder;
  const auto path = write_sound(folder, "a.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT, values, 1, sample_rate_hz);
  for (const Recording& take : {take_of(values), read_recording(path.value())}) {
    REQUIRE(take.signal_quality.warnings.size() == 1);
    CHECK(take.signal_quality.warnings[0].kind == RecordingFault::bad_samples);
    CHECK(take.signal_quality.warnings[0].detail.starts_with("4 of 529200 samples"));
    for (const float value : values_of(take)) REQUIRE(std::abs(value) < 1);
  }
}

TEST_CASE("silence_is_refused_or_kept_as_asked") {
  const Folder folder;
  for (const float level : {0.0F, 2e-5F}) {
    const auto path = write_sound(folder, "a.wav", SF_FORMAT_WAV | SF_FORMAT_FLOAT, tone(440, 1, sample_rate_hz, level),
                                  1, sample_rate_hz);
    CHECK(error_of(path.value())->kind == "silence");
    ReadOptions keep;
    keep.silence = Silence::keep;
    const Recording take = read_recording(path.value(), keep);
    CHECK(has_warning(take, RecordingFault::silence));
    CHECK(take.signal_quality.warnings.size() == 1);
  }
  CHECK(has_warning(take_of(std::vector<float>(44100)), RecordingFault::silence));
  CHECK(has_warning(take_of(std::vector<float>(44100, 0.3F)), RecordingFault::silence));  // a constant is no sound
  CHECK_FALSE(has_warning(take_of(tone(440, 1, sample_rate_hz, 0.001)), RecordingFault::silence));
}

TEST_CASE("every_warning_has_a_figure_and_an_advice") {
  const Recording take =
      take_of(sum(sum(cut_at(clean(), 0.25F), mains(50, 0.01)), noise(0.03, take_length_s, sample_rate_hz, 3)));
  for (const RecordingWarning& warning : take.signal_quality.warnings) {
    CHECK(warning.detail.find_first_of("0123456789") != std::string::npos);
    CHECK_FALSE(warning.advice.empty());
  }
}

TEST_CASE("the_shortest_takes_do_no_harm") {
  for (const std::size_t frames : {1U, 2U, 10U, 441U, 2205U, 4410U}) {
    CAPTURE(frames);
    const auto values = noise(0.1, static_cast<double>(frames) / sample_rate_hz, sample_rate_hz);
    REQUIRE(values.size() == frames);
    CHECK(take_of(values).duration_s == doctest::Approx(static_cast<double>(frames) / sample_rate_hz));
    CHECK(recording_from_samples("two", values, frames > 1 ? 2 : 1, sample_rate_hz).samples.size() > 0);
  }
  CHECK(take_of({}).samples.size() == 0);
}

}  // namespace firmus::audio_test
