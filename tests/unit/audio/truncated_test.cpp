#include <doctest/doctest.h>
#include <sndfile.h>

#include "sounds.hpp"

namespace firmus::audio_test {
namespace {

constexpr int file_rate_hz = 44100;
constexpr int mp3 = 0x230000 | 0x0082;  ///< SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III, which older headers lack

std::string bytes_of(const Folder& folder, int format) {
  const auto path =
      write_sound(folder, "whole", format, sum(line(4, file_rate_hz), noise(0.001, 4, file_rate_hz)), 1, file_rate_hz);
  return path ? read_bytes(*path) : std::string();
}

std::string detail_of(const Recording& take, RecordingFault kind) {
  for (const RecordingWarning& warning : take.signal_quality.warnings)
    if (warning.kind == kind) return warning.detail;
  return {};
}

void put_number(std::string& bytes, std::size_t at, std::uint32_t value) {
  for (std::size_t i = 0; i < 4; ++i) bytes[at + i] = static_cast<char>(value >> 8 * i & 255);
}

}  // namespace

TEST_CASE("a_file_cut_short_is_measured_as_far_as_it_goes_and_says_so") {
  const Folder folder;
  for (const int format :
       {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_WAV | SF_FORMAT_PCM_24, SF_FORMAT_RF64 | SF_FORMAT_PCM_16,
        SF_FORMAT_AIFF | SF_FORMAT_PCM_16, SF_FORMAT_AU | SF_FORMAT_PCM_16, SF_FORMAT_FLAC | SF_FORMAT_PCM_16,
        SF_FORMAT_OGG | SF_FORMAT_VORBIS}) {
    CAPTURE(format);
    const std::string whole = bytes_of(folder, format);
    REQUIRE_FALSE(whole.empty());
    const Recording complete = read_recording(folder.write("complete", whole));
    CHECK(complete.duration_s == doctest::Approx(4).epsilon(0.001));
    CHECK_FALSE(has_warning(complete, RecordingFault::truncated));
    const Recording cut = read_recording(folder.write("cut", whole.substr(0, whole.size() * 6 / 10)));
    CHECK(has_warning(cut, RecordingFault::truncated));
    CHECK(cut.duration_s > 1.5);
    CHECK(cut.duration_s < 3.2);
  }
}

TEST_CASE("the_warning_tells_both_lengths") {
  const Folder folder;
  const std::string whole = bytes_of(folder, SF_FORMAT_WAV | SF_FORMAT_PCM_16);
  // 44 bytes of header, 2 bytes a sample: 2.5 s.
  const Recording cut = read_recording(folder.write("cut", whole.substr(0, 44 + 2 * 110250)));
  CHECK(detail_of(cut, RecordingFault::truncated) ==
        "the file says that it lasts 4.0 s, but after 2.5 s nothing more can be read");
}

TEST_CASE("an_mp3_cut_short_says_so") {
  const Folder folder;
  const std::string whole = bytes_of(folder, mp3);
  if (whole.empty()) {
    MESSAGE("this libsndfile writes no MP3: not tested");
    return;
  }
  CHECK_FALSE(has_warning(read_recording(folder.write("complete", whole)), RecordingFault::truncated));
  CHECK(has_warning(read_recording(folder.write("cut", whole.substr(0, whole.size() / 2))), RecordingFault::truncated));
}

TEST_CASE("a_header_written_to_a_pipe_promises_nothing") {
  const Folder folder;
  std::string bytes = bytes_of(folder, SF_FORMAT_WAV | SF_FORMAT_PCM_16);
  REQUIRE(bytes.substr(36, 4) == "data");
  for (const std::uint32_t size : {0xFFFFFFFFU, 0x7FFFF000U, 0U}) {
    CAPTURE(size);
    put_number(bytes, 4, size);  // 0: also what a recorder leaves that was killed
    put_number(bytes, 40, size);
    const Recording take = read_recording(folder.write("pipe.wav", bytes));
    CHECK_FALSE(has_warning(take, RecordingFault::truncated));
    CHECK(take.duration_s == doctest::Approx(4).epsilon(0.001));
  }
}

// RFC 9639, 8.2: total samples in the low 36 bits of the 8 bytes at 18 of the file; 0 means unknown.
TEST_CASE("a_flac_of_unknown_length_is_read_to_its_end") {
  const Folder folder;
  for (const int channels : {1, 2}) {
    std::vector<float> sound = line(2, file_rate_hz);
    if (channels == 2) sound = interleave({sound, sound});
    std::string bytes = read_bytes(
        write_sound(folder, "a.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, sound, channels, file_rate_hz).value());
    bytes[21] = static_cast<char>(bytes[21] & '\xF0');
    for (std::size_t i = 22; i < 26; ++i) bytes[i] = '\0';
    const Recording take = read_recording(folder.write("unknown.flac", bytes));
    CHECK(take.duration_s == doctest::Approx(2).epsilon(0.001));
    CHECK_FALSE(has_warning(take, RecordingFault::truncated));
  }
}

TEST_CASE("a_flac_spoiled_in_the_middle_is_measured_up_to_there") {
  const Folder folder;
  std::string bytes = bytes_of(folder, SF_FORMAT_FLAC | SF_FORMAT_PCM_16);
  for (std::size_t i = bytes.size() / 2; i < bytes.size(); ++i) bytes[i] = '\x55';
  const Recording take = read_recording(folder.write("bad.flac", bytes));
  CHECK(has_warning(take, RecordingFault::truncated));
  CHECK(take.duration_s > 1);
}

TEST_CASE("a_stereo_flac_cut_to_a_tenth_still_gets_its_channel_chosen") {
  const Folder folder;
  const auto sound = interleave({noise(0.1, 10, file_rate_hz), line(10, file_rate_hz)});
  const std::string whole =
      read_bytes(write_sound(folder, "a.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, sound, 2, file_rate_hz).value());
  const Recording take = read_recording(folder.write("cut.flac", whole.substr(0, whole.size() / 10)));
  CHECK(has_warning(take, RecordingFault::truncated));
  CHECK(take.channel_used == 1);
}

}  // namespace firmus::audio_test
