// Standard input, and decoders.
#include <doctest/doctest.h>
#include <sndfile.h>
#include <unistd.h>

#include <filesystem>
#include <thread>

#include "base/base.hpp"
#include "sounds.hpp"

namespace firmus::audio_test {
namespace {

/// Feeds bytes to standard input through a pipe for as long as it lives.
class Fed {
 public:
  explicit Fed(std::string bytes) : saved_(::dup(STDIN_FILENO)) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    ::dup2(ends[0], STDIN_FILENO);
    ::close(ends[0]);
    writer_ = std::thread([content = std::move(bytes), fd = ends[1]] {
      for (std::size_t at = 0; at < content.size();) {
        const ssize_t count = ::write(fd, content.data() + at, content.size() - at);
        if (count <= 0) break;
        at += static_cast<std::size_t>(count);
      }
      ::close(fd);
    });
  }
  Fed(const Fed&) = delete;
  Fed& operator=(const Fed&) = delete;
  ~Fed() {
    writer_.join();
    ::dup2(saved_, STDIN_FILENO);
    ::close(saved_);
  }

 private:
  int saved_;
  std::thread writer_;
};

std::string wav_bytes(const Folder& folder) {
  return read_bytes(write_sound(folder, "a.wav", SF_FORMAT_WAV | SF_FORMAT_PCM_16, line(2, 44100), 1, 44100).value());
}

/// A WAV after the first bytes of an AMR file, which the test's decoder removes.
std::string wrapped(const Folder& folder, std::string_view name = "take.amr") {
  return folder.write(name, "#!AMR\n" + wav_bytes(folder));
}

ReadOptions with_decoder(const std::string& command) {
  ReadOptions options;
  options.decoder = command;
  return options;
}

}  // namespace

TEST_CASE("every_container_can_be_piped_in") {
  const Folder folder;
  for (const int format : {SF_FORMAT_WAV | SF_FORMAT_PCM_16, SF_FORMAT_FLAC | SF_FORMAT_PCM_16,
                           SF_FORMAT_OGG | SF_FORMAT_VORBIS, SF_FORMAT_AIFF | SF_FORMAT_PCM_16}) {
    CAPTURE(format);
    for (const int channels : {1, 2}) {
      const auto mono = line(2, 44100);
      const auto path =
          write_sound(folder, "a", format, channels == 1 ? mono : interleave({mono, mono}), channels, 44100);
      const std::string bytes = read_bytes(path.value());
      const Fed fed(bytes);
      const Recording piped = read_recording("-");
      CHECK(piped.name == "-");
      CHECK(piped.sha256 == sha256_hex(bytes));
      CHECK(values_of(piped) == values_of(read_recording(*path)));
    }
  }
}

TEST_CASE("an_empty_stream_and_one_of_text_are_named") {
  {
    const Fed fed("");
    CHECK(error_of("-")->kind == "empty");
  }
  const Fed fed("this is text");
  CHECK(error_of("-")->kind == "not_audio");
}

TEST_CASE("a_decoder_reads_what_cannot_be_read_without_it") {
  const Folder folder;
  const std::string path = wrapped(folder, "it is a 'take'.amr");
  CHECK(error_of(path)->kind == "phone_format");
  const Recording take = read_recording(path, with_decoder("tail -c +7 {}"));
  CHECK(values_of(take) == values_of(read_recording(folder.path("a.wav"))));
  CHECK(take.sha256 == sha256_hex(read_bytes(path)));  // of the file that was handed in
}

TEST_CASE("a_decoder_is_left_alone_where_it_is_not_needed") {
  const Folder folder;
  wav_bytes(folder);
  CHECK_FALSE(error_of(folder.path("a.wav"), with_decoder("false {}")));
  CHECK(error_of(folder.write("photo.jpg", "\xFF\xD8\xFF\xE0"), with_decoder("touch " + folder.path("ran") + " {}"))
            ->kind == "not_audio");
  CHECK_FALSE(std::filesystem::exists(folder.path("ran")));
}

TEST_CASE("a_decoder_runs_without_a_shell") {
  const Folder folder;
  const std::string path = wrapped(folder);
  CHECK(error_of(path, with_decoder("tail -c +7 {} ; touch " + folder.path("ran"))));
  CHECK(error_of(path, with_decoder("echo $(touch " + folder.path("ran") + ") {}")));
  CHECK_FALSE(std::filesystem::exists(folder.path("ran")));
}

TEST_CASE("a_decoder_that_fails_is_named_with_its_last_line") {
  const Folder folder;
  const std::string path = wrapped(folder);
  const auto missing = error_of(path, with_decoder("no-such-program-here {}"));
  CHECK(missing->kind == "unreadable");
  CHECK(missing->detail == "the decoder no-such-program-here cannot be started: No such file or directory");
  CHECK(error_of(path, with_decoder("false {}"))->detail == "the decoder failed: exit status 1");
  CHECK(error_of(path, with_decoder("true {}"))->detail == "the decoder wrote nothing");
  CHECK(error_of(path, with_decoder("cat {}"))->detail == "the decoder wrote no WAV");
  CHECK(error_of(path, with_decoder("sh -c 'echo one >&2; echo two >&2; exit 3' {}"))->detail ==
        "the decoder failed: two");
  CHECK(error_of(path, with_decoder("sh -c 'kill -9 $$' {}"))->detail == "the decoder failed: ended by signal 9");
}

TEST_CASE("a_decoder_that_talks_a_lot_does_not_block") {
  const Folder folder;
  CHECK(error_of(wrapped(folder), with_decoder("sh -c 'head -c 3000000 /dev/zero >&2; exit 1' {}")));
}

TEST_CASE("a_decoder_command_is_split_at_spaces_and_held_together_by_quotes") {
  using Words = std::vector<std::string>;
  CHECK(decoder_words("ffmpeg -v error -i {} -f wav -", "a b.m4a") ==
        Words{"ffmpeg", "-v", "error", "-i", "a b.m4a", "-f", "wav", "-"});
  CHECK(decoder_words("'my decoder'  \"in={}\" ''", "x{}y") == Words{"my decoder", "in=x{}y", ""});
  CHECK(decoder_words("d {}", "-rf") == Words{"d", "./-rf"});
  CHECK_THROWS_AS(decoder_words("ffmpeg -i", "a"), InputError);
  CHECK_THROWS_AS(decoder_words("", "a"), InputError);
  CHECK_THROWS_AS(decoder_words("ffmpeg 'x {}", "a"), InputError);
}

}  // namespace firmus::audio_test
