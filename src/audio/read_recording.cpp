#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <system_error>

#include "audio_format.hpp"
#include "base/base.hpp"
#include "base/system/files.hpp"
#include "bytes.hpp"
#include "channel_choice.hpp"
#include "declared_length.hpp"
#include "decoder_process.hpp"
#include "ffmpeg_command.hpp"
#include "firmus/audio.hpp"
#include "firmus/error.hpp"
#include "header_repair.hpp"
#include "recording_builder.hpp"
#include "sound_file.hpp"

namespace firmus {
namespace audio {
namespace {

constexpr std::size_t block_values = 16384;
/// Fewer missing seconds than this are rounding (an odd last byte) or, in MP3 and Ogg, padding that decoders drop.
constexpr double tolerated_lack_s = 0.01, tolerated_rough_lack_s = 0.1;
/// If a smaller share of the excerpts can be read, the file is much shorter than declared: its frames are counted
/// first.
constexpr double enough_excerpts = 0.5;

const std::string standard_input = "-";

struct Input {
  std::unique_ptr<Bytes> bytes;
  std::string sha256;
};

Input read_standard_input() {
  try {
    std::optional<std::string> content = system::read_standard_input(longest_stream_bytes);
    if (!content)
      throw TakeError("too_long", "more than 512 MiB came from standard input", "save it to a file and name the file");
    if (content->empty())
      throw TakeError("empty", "nothing came from standard input", "pipe an audio file into the program");
    std::string digest = sha256_hex(*content);
    return {bytes_in_memory(std::move(*content)), std::move(digest)};
  } catch (const std::system_error& error) {
    throw TakeError("unreadable", fmt::format("standard input cannot be read: {}", error.code().message()),
                    "pipe an audio file into the program");
  }
}

Input read_input(const std::string& path) {
  if (path == standard_input) return read_standard_input();
  std::unique_ptr<Bytes> bytes = open_file_bytes(path);
  try {
    return {std::move(bytes), sha256_hex_of_file(path)};
  } catch (const std::system_error& error) {
    throw TakeError("unreadable", fmt::format("the file cannot be read: {}", error.code().message()),
                    "check the disk, or copy the file again");
  }
}

[[noreturn]] void reject(const AudioFormat& format, const std::string& path, const std::string& advice = {}) {
  const std::string line = advice + ffmpeg_command(path);
  switch (format.kind) {
    case FileKind::phone:
      throw TakeError("phone_format", fmt::format("this is {}, which needs converting first", format.name), line);
    case FileKind::container:
      throw TakeError("unreadable",
                      fmt::format("this is {}, but it is damaged or its coding is not known", format.name),
                      "if it plays elsewhere, convert it: " + line);
    case FileKind::other:
    case FileKind::text:
      throw TakeError("not_audio", fmt::format("this is not a recording but {}", format.name),
                      "name the audio file itself; the ending of a name does not make it one");
    case FileKind::unknown:
      break;
  }
  throw TakeError("not_audio", "this is no audio file that is known here",
                  "WAV, AIFF, FLAC, Ogg, Opus and MP3 are read; if it plays elsewhere, convert it: " + line);
}

bool is_for_ffmpeg(const AudioFormat& format, const std::string& path, const ReadOptions& options) {
  return options.find_ffmpeg && !options.decoder && path != standard_input && !format.ffmpeg_demuxer.empty();
}

SoundFile open_sound(Input& input, const std::string& path, const ReadOptions& options) {
  const AudioFormat format = detect_format(*input.bytes);
  input.bytes = repair_headers(std::move(input.bytes));
  if (format.kind != FileKind::phone && format.kind != FileKind::other)
    if (auto file = SoundFile::open(*input.bytes)) return std::move(*file);
  if (is_for_ffmpeg(format, path, options)) {
    if (auto wav = run_ffmpeg(path, format, options.longest_s.value())) {
      input.bytes = repair_headers(bytes_in_memory(std::move(*wav)));
      if (auto file = SoundFile::open(*input.bytes)) return std::move(*file);
    }
    reject(format, path, "install ffmpeg (apt-get install ffmpeg), which reads it, or convert it: ");
  }
  if (!options.decoder || path == standard_input || format.kind == FileKind::other) reject(format, path);
  input.bytes = bytes_in_memory(run_decoder(*options.decoder, path));
  if (auto file = SoundFile::open(*input.bytes)) return std::move(*file);
  throw TakeError("unreadable", "the decoder wrote no WAV",
                  "check the --decoder command: it must write WAV to its output");
}

/// Number of frames, found by reading them, `limit` at most.
std::int64_t count_frames(const Bytes& bytes, std::int64_t limit) {
  auto file = SoundFile::open(bytes);
  std::vector<float> block(block_values);
  std::int64_t frames = 0;
  while (frames < limit) {
    const std::int64_t count = file->read(block);
    if (count == 0) break;
    frames += count;
  }
  return std::min(frames, limit);
}

/// Reads and skips up to `begin`, then fills `out`: for files in which seeking fails.
FrameReader reading_through(SoundFile& file, std::int64_t& position) {
  return [&](std::int64_t begin, std::span<float> out) -> std::int64_t {
    std::vector<float> skipped(block_values / static_cast<std::size_t>(file.channels()) * file.channels());
    while (position < begin) {
      const auto wanted = static_cast<std::size_t>((begin - position) * file.channels());
      const std::int64_t count = file.read(std::span(skipped).first(std::min(wanted, skipped.size())));
      if (count == 0) return 0;
      position += count;
    }
    const std::int64_t count = file.read(out);
    position += count;
    return count;
  };
}

ChannelChoice choose_channel_of(const Bytes& bytes, const SoundFile& file, std::int64_t limit) {
  auto excerpts = SoundFile::open(bytes);  // a handle of its own, so that the position of `file` stays
  const int channels = file.channels(), rate_hz = file.rate_hz();
  if (const auto declared = file.declared_frames(); declared && *declared <= limit) {
    const FrameReader seeking = [&](std::int64_t begin, std::span<float> out) {
      return excerpts->seek(begin) ? excerpts->read(out) : 0;
    };
    const ChannelChoice choice = choose_channel(seeking, *declared, channels, rate_hz);
    if (choice.readable_share >= enough_excerpts) return choice;
  }
  const std::int64_t frames = count_frames(bytes, limit);
  excerpts = SoundFile::open(bytes);
  std::int64_t position = 0;
  return choose_channel(reading_through(*excerpts, position), frames, channels, rate_hz);
}

void keep_channel(std::span<const float> interleaved, int channels, int channel, std::vector<float>& out) {
  out.resize(interleaved.size() / static_cast<std::size_t>(channels));
  const float* value = interleaved.data() + channel;
  for (float& target : out) {
    target = *value;
    value += channels;
  }
}

void read_channel(SoundFile& file, int channel, std::int64_t limit, RecordingBuilder& builder) {
  std::vector<float> block(block_values), mono;
  while (const std::int64_t frames = file.read(block)) {
    const std::span<float> read(block.data(), static_cast<std::size_t>(frames * file.channels()));
    if (file.channels() > 1) keep_channel(read, file.channels(), channel, mono);
    builder.add(file.channels() > 1 ? std::span<float>(mono) : read);
    if (builder.frames() > limit) return;
  }
}

/// Declared seconds beyond the frames that were read; none when the file is complete.
std::optional<double> missing_s(const Bytes& bytes, const SoundFile& file, std::int64_t frames) {
  const double read_s = static_cast<double>(frames) / file.rate_hz();
  double declared_s = read_s;
  if (const auto declared = file.declared_frames()) declared_s = static_cast<double>(*declared) / file.rate_hz();
  if (const auto data = data_block(bytes); data && data->present_bytes > 0)
    declared_s = std::max(
        declared_s, read_s * static_cast<double>(data->declared_bytes) / static_cast<double>(data->present_bytes));
  const double lack = declared_s - read_s;
  if (lack < (file.declared_length_is_rough() ? tolerated_rough_lack_s : tolerated_lack_s)) return std::nullopt;
  return lack;
}

void warn_of_truncation(const Bytes& bytes, const SoundFile& file, std::int64_t frames, Recording& take) {
  const double read_s = static_cast<double>(frames) / file.rate_hz();
  std::string detail;
  if (const auto lack = missing_s(bytes, file, frames))
    detail = fmt::format("the file says that it lasts {:.1f} s, but after {:.1f} s nothing more can be read",
                         read_s + *lack, read_s);
  else if (ogg_ends_early(bytes))
    detail = fmt::format("the file breaks off after {:.1f} s: its last part is missing", read_s);
  if (detail.empty()) return;
  take.signal_quality.warnings.push_back(
      {RecordingFault::truncated, detail, "copy or hand in the recording again; what is there was measured"});
}

void require_length(std::int64_t frames, std::int64_t limit, const SoundFile& file, const ReadOptions& options) {
  if (frames > limit)
    throw TakeError("too_long", fmt::format("the take is longer than {:g} minutes", options.longest_s / 60),
                    "cut out the part to measure, or allow more minutes with --longest");
  if (frames > 0) return;
  if (file.declared_frames().value_or(0) == 0)
    throw TakeError("empty", "the file is an audio file without any sound in it (0 samples)", "record again");
  throw TakeError("unreadable", "the file is damaged: no sound in it can be decoded",
                  "copy or hand in the recording again");
}

void require_sound(const Recording& take, Silence silence) {
  if (silence == Silence::keep) return;
  for (const RecordingWarning& warning : take.signal_quality.warnings)
    if (warning.kind == RecordingFault::silence) throw TakeError("silence", warning.detail, warning.advice);
}

}  // namespace
}  // namespace audio

bool is_read_by_ffmpeg(const std::string& path, const ReadOptions& options) {
  if (!options.find_ffmpeg || options.decoder || path == audio::standard_input) return false;
  try {
    const std::unique_ptr<audio::Bytes> bytes = audio::open_file_bytes(path);
    const audio::AudioFormat format = audio::detect_format(*bytes);
    return audio::is_for_ffmpeg(format, path, options) && !audio::SoundFile::open(*bytes);
  } catch (const TakeError&) {
    return false;
  }
}

Recording read_recording(const std::string& path, const ReadOptions& options) {
  using namespace audio;
  Input input = read_input(path);
  SoundFile file = open_sound(input, path, options);
  require_usable(file.rate_hz(), file.channels());
  const auto limit = static_cast<std::int64_t>(std::floor(options.longest_s * file.rate_hz()));
  Recording take;
  take.name = path;
  take.sha256 = input.sha256;
  take.sample_rate_hz = file.rate_hz();
  take.channels = file.channels();
  if (file.channels() > 1 && file.declared_frames() != 0) {
    const ChannelChoice choice = choose_channel_of(*input.bytes, file, limit);
    take.channel_used = choice.channel;
    if (choice.lowest_correlation) warn_of_opposite_phase(*choice.lowest_correlation, take);
  }
  RecordingBuilder builder(file.rate_hz(), std::min(limit, file.declared_frames().value_or(0)), file.quantum());
  read_channel(file, take.channel_used, limit, builder);
  require_length(builder.frames(), limit, file, options);
  warn_of_truncation(*input.bytes, file, builder.frames(), take);
  builder.finish(take);
  require_sound(take, options.silence);
  return take;
}

}  // namespace firmus
