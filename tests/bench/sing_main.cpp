// firmus_bench_sing MINUTES STEM: writes STEM.wav (44.1 kHz, 16 bits, mono), STEM.raw (the same as floats of 16-bit
// scale) and STEM.melody.
#include <fmt/format.h>
#include <sndfile.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <string>

#include "resample.hpp"
#include "singer.hpp"
#include "singing.hpp"

using namespace firmus;
using firmus::audio::Resampler;

namespace {

constexpr int rate_hz = 44100;
constexpr float full_scale = 32768;
constexpr std::uint64_t different_minutes = 6;  // then they repeat: synthesis takes longer than measuring

class TakeWriter {
 public:
  explicit TakeWriter(const std::string& stem) : raw_(stem + ".raw", std::ios::binary) {
    SF_INFO info{};
    info.samplerate = rate_hz;
    info.channels = 1;
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    wav_ = sf_open((stem + ".wav").c_str(), SFM_WRITE, &info);
  }
  ~TakeWriter() { sf_close(wav_); }
  TakeWriter(const TakeWriter&) = delete;
  TakeWriter& operator=(const TakeWriter&) = delete;
  bool is_open() const { return wav_ && raw_; }

  void add(std::vector<float> samples) {
    sf_writef_float(wav_, samples.data(), static_cast<sf_count_t>(samples.size()));
    for (float& sample : samples) sample *= full_scale;
    raw_.write(reinterpret_cast<const char*>(samples.data()),
               static_cast<std::streamsize>(samples.size() * sizeof(float)));
  }

 private:
  std::ofstream raw_;
  SNDFILE* wav_ = nullptr;
};

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) return std::fputs("usage: firmus_bench_sing MINUTES STEM\n", stderr), 2;
  const auto minutes = static_cast<std::uint64_t>(std::atoi(argv[1]));
  const std::string stem = argv[2];
  TakeWriter take(stem);
  std::ofstream melody(stem + ".melody");
  if (!take.is_open() || !melody) return fmt::print(stderr, "cannot write {}\n", stem), 1;
  melody << bench::melody_head();
  std::vector<std::vector<float>> sung;
  for (std::uint64_t minute = 0; minute < minutes; ++minute) {
    const std::uint64_t seed = 1 + minute % different_minutes;
    melody << bench::melody_minute(seed);
    if (sung.size() < seed) {
      Resampler up(singer::rate_hz, rate_hz);
      up.add(bench::sing_minute(seed), sung.emplace_back());
      up.finish(sung.back());
    }
    take.add(sung[seed - 1]);
  }
}
