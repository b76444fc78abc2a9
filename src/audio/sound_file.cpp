#include "sound_file.hpp"

#include <sndfile.h>

#include <algorithm>
#include <mutex>

namespace firmus::audio {

struct SoundFile::Cursor {
  const Bytes* bytes;
  std::int64_t position;

  static sf_count_t length(void* data) { return static_cast<Cursor*>(data)->bytes->size(); }
  static sf_count_t tell(void* data) { return static_cast<Cursor*>(data)->position; }
  static sf_count_t seek(sf_count_t offset, int whence, void* data) {
    auto& cursor = *static_cast<Cursor*>(data);
    const std::int64_t from = whence == SEEK_SET ? 0 : whence == SEEK_CUR ? cursor.position : cursor.bytes->size();
    // A damaged header may ask for an offset far outside: clamp it, so that the sum does not overflow.
    const std::int64_t wanted = std::clamp<std::int64_t>(offset, -from, cursor.bytes->size()) + from;
    cursor.position = std::clamp<std::int64_t>(wanted, 0, cursor.bytes->size());
    return cursor.position;
  }
  static sf_count_t read(void* out, sf_count_t count, void* data) {
    auto& cursor = *static_cast<Cursor*>(data);
    if (count <= 0) return 0;
    const std::span<unsigned char> target(static_cast<unsigned char*>(out), static_cast<std::size_t>(count));
    const auto done = static_cast<sf_count_t>(cursor.bytes->read_at(cursor.position, target));
    cursor.position += done;
    return done;
  }
  static sf_count_t write(const void*, sf_count_t, void*) { return 0; }
};

void SoundFile::Closer::operator()(void* file) const {
  sf_close(static_cast<SNDFILE*>(file));
}

namespace {

/// Quantisation step at large values, where companded and adaptive codecs are coarse.
double quantum_of(int format) {
  switch (format & SF_FORMAT_SUBMASK) {
    case SF_FORMAT_PCM_S8:
    case SF_FORMAT_PCM_U8:
    case SF_FORMAT_DPCM_8:
      return 1.0 / 128;
    case SF_FORMAT_ULAW:
    case SF_FORMAT_ALAW:
    case SF_FORMAT_IMA_ADPCM:
    case SF_FORMAT_MS_ADPCM:
    case SF_FORMAT_VOX_ADPCM:
    case SF_FORMAT_GSM610:
      return 1.0 / 32;
    default:
      return 1.0 / 32768;
  }
}

}  // namespace

std::optional<SoundFile> SoundFile::open(const Bytes& bytes) {
  SF_VIRTUAL_IO calls{&Cursor::length, &Cursor::seek, &Cursor::read, &Cursor::write, &Cursor::tell};
  SF_INFO info{};
  SoundFile result;
  result.cursor_ = std::make_shared<Cursor>(Cursor{&bytes, 0});
  static std::mutex opening;  // libsndfile keeps the status of the last opening in global variables
  const std::lock_guard lock(opening);
  result.file_.reset(sf_open_virtual(&calls, SFM_READ, &info, result.cursor_.get()));
  if (!result.file_) return std::nullopt;
  result.rate_hz_ = info.samplerate;
  result.channels_ = info.channels;
  if (info.frames >= 0 && info.frames < SF_COUNT_MAX / 2) result.declared_frames_ = info.frames;
  const int container = info.format & SF_FORMAT_TYPEMASK;
  const int coding = info.format & SF_FORMAT_SUBMASK;
  const bool is_mp3 =
      coding == SF_FORMAT_MPEG_LAYER_III || coding == SF_FORMAT_MPEG_LAYER_II || coding == SF_FORMAT_MPEG_LAYER_I;
  result.declared_length_is_rough_ = is_mp3 || container == SF_FORMAT_OGG;
  result.quantum_ = quantum_of(info.format);
  result.is_16_bit_ = coding == SF_FORMAT_PCM_16;
  return result;
}

std::int64_t SoundFile::read(std::span<float> interleaved) {
  const auto frames = static_cast<sf_count_t>(interleaved.size()) / channels_;
  SNDFILE* const file = static_cast<SNDFILE*>(file_.get());
  if (!is_16_bit_) return std::max<sf_count_t>(0, sf_readf_float(file, interleaved.data(), frames));
  // Faster for 16 bits, the usual case: libsndfile copies shorts as they are, but converts to float one by one. The
  // values are the same.
  integers_.resize(interleaved.size());
  const sf_count_t read = std::max<sf_count_t>(0, sf_readf_short(file, integers_.data(), frames));
  const auto count = static_cast<std::size_t>(read * channels_);
  for (std::size_t i = 0; i < count; ++i) interleaved[i] = static_cast<float>(integers_[i]) / 32768.0F;
  return read;
}

bool SoundFile::seek(std::int64_t frame) {
  return sf_seek(static_cast<SNDFILE*>(file_.get()), frame, SEEK_SET) == frame;
}

}  // namespace firmus::audio
