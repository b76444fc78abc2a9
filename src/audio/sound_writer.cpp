#include "firmus/sound_writer.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sndfile.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <system_error>
#include <utility>

#include "anonymous_temp_file.hpp"
#include "base/base.hpp"
#include "firmus/error.hpp"

namespace firmus {

struct SoundWriter::State {
  std::string path, temporary;  ///< empty: to `sink`
  ByteSink sink;
  int fd = -1;
  SNDFILE* file = nullptr;

  [[noreturn]] void fail(int error) const {
    throw WriteError(fmt::format("{}: cannot be written: {}", path.empty() ? "the temporary file" : display_name(path),
                                 std::generic_category().message(error)));
  }
  void open(SoundFormat format, int rate_hz);
  void rename();
  void pass_on() const;
  ~State() {
    if (file) sf_close(file);
    if (fd >= 0) ::close(fd);
    if (!temporary.empty()) ::unlink(temporary.c_str());
  }
};

void SoundWriter::State::open(SoundFormat format, int rate_hz) {
  SF_INFO info{};
  info.channels = 1;
  info.samplerate = rate_hz;
  info.format = (format == SoundFormat::flac ? SF_FORMAT_FLAC : SF_FORMAT_WAV) | SF_FORMAT_PCM_24;
  file = sf_open_fd(fd, SFM_WRITE, &info, SF_FALSE);
  if (!file) fail(ENOSPC);
}

void SoundWriter::State::rename() {
  if (::fsync(fd) != 0 && errno != EINVAL) fail(errno);
  if (::close(std::exchange(fd, -1)) != 0) fail(errno);
  if (std::rename(temporary.c_str(), path.c_str()) != 0) fail(errno);
  temporary.clear();
}

void SoundWriter::State::pass_on() const {
  std::array<char, 1 << 16> block{};
  off_t at = 0;
  for (;;) {
    const ssize_t count = ::pread(fd, block.data(), block.size(), at);
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) fail(errno);
    if (count == 0) return;
    sink({block.data(), static_cast<std::size_t>(count)});
    at += count;
  }
}

SoundWriter::SoundWriter(std::string path, SoundFormat format, int rate_hz) : state_(std::make_unique<State>()) {
  state_->path = std::move(path);
  const std::string temporary = fmt::format("{}.{}.part", state_->path, ::getpid());
  state_->fd = ::open(temporary.c_str(), O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (state_->fd < 0) state_->fail(errno);
  state_->temporary = temporary;
  state_->open(format, rate_hz);
}

SoundWriter::SoundWriter(ByteSink sink, SoundFormat format, int rate_hz) : state_(std::make_unique<State>()) {
  state_->sink = std::move(sink);
  state_->fd = audio::open_anonymous_temp_file();
  if (state_->fd < 0) state_->fail(errno);
  state_->open(format, rate_hz);
}

SoundWriter::~SoundWriter() = default;

void SoundWriter::write(std::span<const float> samples) {
  errno = 0;
  const auto count = static_cast<sf_count_t>(samples.size());
  if (sf_writef_float(state_->file, samples.data(), count) != count) state_->fail(errno ? errno : ENOSPC);
}

void SoundWriter::finish() {
  errno = 0;
  const int closed = sf_close(std::exchange(state_->file, nullptr));
  if (closed != 0) state_->fail(errno ? errno : ENOSPC);
  if (state_->sink)
    state_->pass_on();
  else
    state_->rename();
}

}  // namespace firmus
