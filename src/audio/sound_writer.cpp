#include "firmus/sound_writer.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sndfile.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <system_error>
#include <utility>

#include "firmus/base.hpp"
#include "firmus/error.hpp"

namespace firmus {

struct SoundWriter::State {
  std::string path, temporary;
  int fd = -1;
  SNDFILE* file = nullptr;

  [[noreturn]] void fail(int error) const {
    throw WriteError(
        fmt::format("{}: cannot be written: {}", display_name(path), std::generic_category().message(error)));
  }
  ~State() {
    if (file) sf_close(file);
    if (fd >= 0) ::close(fd);
    if (!temporary.empty()) ::unlink(temporary.c_str());
  }
};

SoundWriter::SoundWriter(std::string path, SoundFormat format, int rate_hz) : state_(std::make_unique<State>()) {
  state_->path = std::move(path);
  const std::string temporary = fmt::format("{}.{}.part", state_->path, ::getpid());
  state_->fd = ::open(temporary.c_str(), O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (state_->fd < 0) state_->fail(errno);
  state_->temporary = temporary;
  SF_INFO info{};
  info.channels = 1;
  info.samplerate = rate_hz;
  info.format = (format == SoundFormat::flac ? SF_FORMAT_FLAC : SF_FORMAT_WAV) | SF_FORMAT_PCM_24;
  state_->file = sf_open_fd(state_->fd, SFM_WRITE, &info, SF_FALSE);
  if (!state_->file) state_->fail(ENOSPC);
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
  if (::fsync(state_->fd) != 0 && errno != EINVAL) state_->fail(errno);
  if (::close(std::exchange(state_->fd, -1)) != 0) state_->fail(errno);
  if (std::rename(state_->temporary.c_str(), state_->path.c_str()) != 0) state_->fail(errno);
  state_->temporary.clear();
}

}  // namespace firmus
