#include "firmus/sound_writer.hpp"

#include <fmt/format.h>
#include <sndfile.h>

#include <array>
#include <cerrno>
#include <filesystem>
#include <system_error>
#include <utility>

#include "base/base.hpp"
#include "base/partial_files.hpp"
#include "base/system/files.hpp"
#include "firmus/error.hpp"

namespace firmus {

struct SoundWriter::State {
  std::string path, temporary;  ///< empty: to `sink`
  ByteSink sink;
  system::File output;
  SNDFILE* file = nullptr;

  [[noreturn]] void fail(const std::error_code& error) const {
    throw WriteError(fmt::format("{}: cannot be written: {}", path.empty() ? "the temporary file" : display_name(path),
                                 error.message()));
  }
  /// libsndfile does not say why it failed; errno may.
  [[noreturn]] void fail_by_errno() const {
    fail(errno ? std::error_code(errno, std::generic_category()) : std::make_error_code(std::errc::no_space_on_device));
  }
  void open(SoundFormat format, int rate_hz);
  void rename();
  void pass_on() const;
  ~State() {
    if (file) sf_close(file);
    if (!temporary.empty()) system::remove_file(temporary);
  }
};

void SoundWriter::State::open(SoundFormat format, int rate_hz) {
  SF_INFO info{};
  info.channels = 1;
  info.samplerate = rate_hz;
  info.format = (format == SoundFormat::flac ? SF_FORMAT_FLAC : SF_FORMAT_WAV) | SF_FORMAT_PCM_24;
  file = sf_open_fd(output.descriptor(), SFM_WRITE, &info, SF_FALSE);
  if (!file) fail(std::make_error_code(std::errc::no_space_on_device));
}

void SoundWriter::State::rename() {
  if (const std::error_code error = output.sync()) fail(error);
  if (const std::error_code error = output.close()) fail(error);
  if (const std::error_code error = system::rename_file(temporary, path)) fail(error);
  temporary.clear();
}

void SoundWriter::State::pass_on() const {
  std::array<char, 1 << 16> block{};
  std::int64_t at = 0;
  for (;;) {
    std::error_code error;
    const std::size_t count = output.read_at(at, std::as_writable_bytes(std::span(block)), error);
    if (error) fail(error);
    if (count == 0) return;
    sink({block.data(), count});
    at += static_cast<std::int64_t>(count);
  }
}

SoundWriter::SoundWriter(std::string path, SoundFormat format, int rate_hz) : state_(std::make_unique<State>()) {
  state_->path = std::move(path);
  const std::filesystem::path file(state_->path);
  const std::string folder = file.has_parent_path() ? file.parent_path().string() : ".";
  remove_abandoned_files(folder, [own = file.filename().string()](const std::string& name) { return name == own; });
  const std::string temporary = partial_path(state_->path);
  std::error_code error;
  state_->output = system::File::open(temporary, system::OpenFor::replacing, error);
  if (error) state_->fail(error);
  state_->temporary = temporary;
  state_->open(format, rate_hz);
}

SoundWriter::SoundWriter(ByteSink sink, SoundFormat format, int rate_hz) : state_(std::make_unique<State>()) {
  state_->sink = std::move(sink);
  std::error_code error;
  state_->output = system::File::open_anonymous(error);
  if (error) state_->fail(error);
  state_->open(format, rate_hz);
}

SoundWriter::~SoundWriter() = default;

void SoundWriter::write(std::span<const float> samples) {
  errno = 0;
  const auto count = static_cast<sf_count_t>(samples.size());
  if (sf_writef_float(state_->file, samples.data(), count) != count) state_->fail_by_errno();
}

void SoundWriter::finish() {
  errno = 0;
  const int closed = sf_close(std::exchange(state_->file, nullptr));
  if (closed != 0) state_->fail_by_errno();
  if (state_->sink)
    state_->pass_on();
  else
    state_->rename();
}

}  // namespace firmus
