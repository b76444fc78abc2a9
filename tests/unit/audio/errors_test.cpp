#include <doctest/doctest.h>
#include <fcntl.h>
#include <sndfile.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>

#include "../../../src/audio/ffmpeg_command.hpp"
#include "sounds.hpp"

namespace firmus::audio_test {
using namespace audio;
namespace {

using namespace std::string_literals;

struct Header {
  const char* name;
  std::string bytes;
};

/// The first bytes of the formats that phones write, each from its specification (see audio_format.hpp), and some body.
const Header phone_files[] = {
    {"a.m4a", "\0\0\0\x1C"s + "ftypM4A \0\0\0\0"s},
    {"a.mp4", "\0\0\0\x20"s + "ftypisom\0\0\2\0"s},
    {"a.3gp", "\0\0\0\x18"s + "ftyp3gp4\0\0\2\0"s},
    {"a.mov", "\0\0\0\x14"s + "ftypqt  \0\0\2\0"s},
    {"a.amr", "#!AMR\n"s},
    {"a-wb.amr", "#!AMR-WB\n"s},
    {"a.webm", "\x1A\x45\xDF\xA3\x9F\x42\x86\x81"s},
    {"a.mkv", "\x1A\x45\xDF\xA3\xA3\x42\x86\x81"s},
    {"a.wma", "\x30\x26\xB2\x75\x8E\x66\xCF\x11\xA6\xD9\0\xAA\0\x62\xCE\x6C"s},
    {"a.aac", "\xFF\xF1\x50\x80\x2E\x7F\xFC"s},
    {"mpeg2.aac", "\xFF\xF9\x4C\x80\x2E\x7F\xFC"s},
    {"tagged.aac", "ID3\4\0\0\0\0\0\4ABCD\xFF\xF1\x50\x80\x2E\x7F\xFC"s},
    {"mislabelled.wav", "\0\0\0\x1C"s + "ftypM4A \0\0\0\0"s},
};

const Header other_files[] = {
    {"photo.wav", "\xFF\xD8\xFF\xE0\0\x10JFIF"s},   {"page.wav", "<!DOCTYPE html>\n<html><body>Log in"s},
    {"page.mp3", "\n  <HTML>moved</HTML>"s},        {"picture.flac", "\x89PNG\r\n\x1A\n"s},
    {"score.wav", "MThd\0\0\0\6\0\1\0\1\0\x60"s},   {"score.mxl", "PK\3\4\x14\0\0\0"s},
    {"text.wav", "Dear teacher, here is my take"s}, {"wide.wav", "\xFF\xFEH\0e\0l\0l\0o\0"s},
    {"zeros.wav", std::string(5000, '\0')},         {"random.ogg", "\x93\x01\xA8\x77\x02\x10\xEE\x81"s},
};

constexpr const char* words_for_others[] = {"JPEG", "HTML", "HTML", "PNG",        "MIDI",
                                            "ZIP",  "text", "text", "zero bytes", "no audio"};

/// A wait would never end: the alarm makes the test fail instead.
class Alarm {
 public:
  Alarm() { ::alarm(20); }
  Alarm(const Alarm&) = delete;
  Alarm& operator=(const Alarm&) = delete;
  ~Alarm() { ::alarm(0); }
};

}  // namespace

TEST_CASE("what_is_no_file_is_named_at_once") {
  const Folder folder;
  const Alarm alarm;
  CHECK(error_of(folder.path("none.wav"))->kind == "missing");
  CHECK(error_of(folder.write("a.txt", "x") + "/a.wav")->kind == "missing");
  std::filesystem::create_directory(folder.path("folder.wav"));
  CHECK(error_of(folder.path("folder.wav"))->kind == "not_a_file");
  CHECK(error_of(folder.path("folder.wav"))->detail == "this is a folder, not an audio file");
  REQUIRE(::mkfifo(folder.path("fifo.wav").c_str(), 0600) == 0);
  CHECK(error_of(folder.path("fifo.wav"))->detail == "this is a named pipe, not an audio file");
  CHECK(error_of("/dev/null")->detail == "this is a device, not an audio file");
  CHECK(error_of(folder.write("empty.wav", ""))->kind == "empty");
}

TEST_CASE("a_socket_is_named_at_once") {
  const Folder folder;
  const int fd = ::socket(AF_UNIX, SOCK_STREAM, 0);
  sockaddr_un address{};
  address.sun_family = AF_UNIX;
  std::strncpy(address.sun_path, folder.path("s").c_str(), sizeof address.sun_path - 1);
  REQUIRE(::bind(fd, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
  CHECK(error_of(folder.path("s"))->detail == "this is a socket, not an audio file");
  ::close(fd);
}

TEST_CASE("a_file_that_may_not_be_read_is_unreadable") {
  const Folder folder;
  const std::string path = folder.write("a.wav", "RIFF");
  ::chmod(path.c_str(), 0);
  if (::access(path.c_str(), R_OK) == 0) {
    MESSAGE("run as root: permissions are not tested");
    return;
  }
  CHECK(error_of(path)->kind == "unreadable");
}

TEST_CASE("phone_formats_get_the_line_that_converts_them") {
  const Folder folder;
  for (const Header& header : phone_files) {
    CAPTURE(header.name);
    const std::string path = folder.write(header.name, header.bytes + std::string(2000, '\x21'));
    const auto error = error_of(path);
    REQUIRE(error);
    CHECK(error->kind == "phone_format");
    CHECK(error->advice == ffmpeg_command(path));
  }
}

TEST_CASE("files_that_are_no_recordings_are_called_what_they_are") {
  const Folder folder;
  for (std::size_t i = 0; i < std::size(other_files); ++i) {
    CAPTURE(other_files[i].name);
    const auto error = error_of(folder.write(other_files[i].name, other_files[i].bytes));
    REQUIRE(error);
    CHECK(error->kind == "not_audio");
    CHECK(error->detail.find(words_for_others[i]) != std::string::npos);
    CHECK_FALSE(error->advice.empty());
  }
}

// POSIX shell quoting (IEEE Std 1003.1, 2.2); $'...' is in its 2024 edition.
TEST_CASE("the_ffmpeg_command_can_be_pasted_into_a_shell") {
  CHECK(ffmpeg_command("song.m4a") == "ffmpeg -i song.m4a song.wav");
  CHECK(ffmpeg_command("week 3/song.m4a") == "ffmpeg -i 'week 3/song.m4a' 'week 3/song.wav'");
  CHECK(ffmpeg_command("it's.3gp") == R"(ffmpeg -i 'it'\''s.3gp' 'it'\''s.wav')");
  CHECK(ffmpeg_command("-x.amr") == "ffmpeg -i ./-x.amr ./-x.wav");
  CHECK(ffmpeg_command("a:b.amr") == "ffmpeg -i ./a:b.amr ./a:b.wav");
  CHECK(ffmpeg_command("song.wav") == "ffmpeg -i song.wav song.converted.wav");
  CHECK(ffmpeg_command("dir.x/song") == "ffmpeg -i dir.x/song dir.x/song.wav");
  CHECK(ffmpeg_command("$(reboot).m4a") == "ffmpeg -i '$(reboot).m4a' '$(reboot).wav'");
  CHECK(ffmpeg_command("two\nlines.m4a") == "ffmpeg -i $'two\\x0alines.m4a' $'two\\x0alines.wav'");
}

TEST_CASE("rates_and_channels_outside_the_limits_are_named") {
  const Folder folder;
  const int wav = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
  const auto sound = tone(440, 1, 8000);
  CHECK(error_of(write_sound(folder, "slow.wav", wav, sound, 1, 7999).value())->kind == "rate");
  CHECK_FALSE(error_of(write_sound(folder, "low.wav", wav, sound, 1, 8000).value()));
  CHECK(error_of(write_sound(folder, "fast.wav", wav, sound, 1, 192001).value())->kind == "rate");
  CHECK(error_of(write_sound(folder, "many.wav", wav, std::vector<float>(65 * 100, 0.1F), 65, 44100).value())->kind ==
        "channels");
  CHECK_THROWS_AS(recording_from_samples("a", sound, 1, 4000), TakeError);
  CHECK_THROWS_AS(recording_from_samples("a", sound, 0, 8000), TakeError);
}

TEST_CASE("an_audio_file_without_sound_is_empty") {
  const Folder folder;
  for (const int format : {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_AIFF | SF_FORMAT_PCM_16}) {
    const auto error = error_of(write_sound(folder, "a", format, {}, 1, 44100).value());
    REQUIRE(error);
    CHECK(error->kind == "empty");
  }
}

TEST_CASE("a_container_whose_coding_is_not_known_gets_the_ffmpeg_command") {
  const Folder folder;
  std::string bytes =
      read_bytes(write_sound(folder, "a.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, tone(440, 1, 8000), 1, 8000).value());
  bytes[20] = '\x61';  // WMA in WAV: format tag 0x0161
  bytes[21] = '\x01';
  const auto error = error_of(folder.write("b.wav", bytes));
  REQUIRE(error);
  CHECK(error->kind == "unreadable");
  CHECK(error->advice.find("ffmpeg -i ") != std::string::npos);
}

// Every header byte spoiled in turn: a take or a TakeError, never anything else, never a wait.
TEST_CASE("damaged_headers_do_no_harm") {
  const Folder folder;
  const auto sound = interleave({tone(440, 0.3, 8000), tone(330, 0.3, 8000)});
  for (const int format :
       {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_WAV | SF_FORMAT_IMA_ADPCM, SF_FORMAT_RF64 | SF_FORMAT_FLOAT,
        SF_FORMAT_AIFF | SF_FORMAT_PCM_24, SF_FORMAT_FLAC | SF_FORMAT_PCM_16, SF_FORMAT_OGG | SF_FORMAT_VORBIS,
        SF_FORMAT_CAF | SF_FORMAT_PCM_16, SF_FORMAT_AU | SF_FORMAT_PCM_16}) {
    const auto path =
        write_sound(folder, "good", format, sound, format == (SF_FORMAT_WAV | SF_FORMAT_IMA_ADPCM) ? 1 : 2, 8000);
    if (!path) continue;
    const std::string good = read_bytes(*path);
    int measured = 0, refused = 0;
    for (std::size_t i = 0; i < 72 && i < good.size(); ++i)
      for (const char value : {'\x00', '\x7F', '\xFF'}) {
        CAPTURE(format);
        CAPTURE(i);
        std::string bytes = good;
        bytes[i] = value;
        const auto error = error_of(folder.write("bad", bytes));  // anything but a TakeError fails the test
        ++(error ? refused : measured);
      }
    CHECK(measured > 0);
    CHECK(refused > 0);
  }
}

TEST_CASE("files_cut_in_the_header_do_no_harm") {
  const Folder folder;
  for (const int format :
       {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_FLAC | SF_FORMAT_PCM_16, SF_FORMAT_OGG | SF_FORMAT_VORBIS}) {
    const std::string good = read_bytes(write_sound(folder, "good", format, tone(440, 0.2, 8000), 1, 8000).value());
    for (std::size_t length = 1; length < 100; ++length) {
      CAPTURE(length);
      const std::string cut = folder.write("cut", good.substr(0, length));
      if (!error_of(cut))
        CHECK(has_warning(read_recording(cut), RecordingFault::truncated));  // a few samples were there
    }
  }
}

}  // namespace firmus::audio_test
