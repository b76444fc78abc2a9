// The tail of what sounded before, taken away bin by bin.
#include <algorithm>
#include <array>
#include <cmath>
#include <deque>

#include "audio/spill_buffer.hpp"
#include "room.hpp"
#include "spectra.hpp"

namespace firmus::room {
namespace {

// Chosen on rooms of 2 s, 0 and 6 dB below the direct sound (seed 31). A window that tells the harmonics of two notes
// apart does best, although it smears onsets: with windows of 512, 1024, 2048, 4096, 8192 samples and a least gain of
// 0.2 onset F1 was .908, .908, .914, .933, .936 at -6 dB and .949, .981, .984, 1, .997 at 0 dB.
constexpr int window_size = 4096, hop = 512;  // 256 ms, 32 ms
constexpr std::size_t late_after_frames = 3;  // 96 ms: what follows sooner belongs to the sound
constexpr double expected_share = 1.55;       // of the tail's power: some more than is expected is taken away
constexpr float least_gain = 0.15F;

/// Gains of each bin of a frame, from its powers and those of the frame late_after_frames before.
class TailFilter {
 public:
  explicit TailFilter(double reverberation_s)
      : tail_share_(static_cast<float>(
            expected_share * std::pow(10, -6.0 * late_after_frames * hop / Samples::rate_hz / reverberation_s))) {}

  void apply(std::span<std::complex<float>> bins) {
    std::vector<float> powers(bins.size());
    for (std::size_t k = 0; k < bins.size(); ++k) powers[k] = std::norm(bins[k]);
    if (before_.size() == late_after_frames) {
      const std::vector<float>& earlier = before_.front();
      for (std::size_t k = 0; k < bins.size(); ++k) {
        const float left = powers[k] - tail_share_ * earlier[k];
        bins[k] *= left > 0 ? std::max(least_gain, std::sqrt(left / powers[k])) : least_gain;
      }
      before_.pop_front();
    }
    before_.push_back(std::move(powers));
  }

 private:
  float tail_share_;
  std::deque<std::vector<float>> before_;
};

}  // namespace
}  // namespace firmus::room

namespace firmus {

Samples without_late_reverberation(const Samples& samples, Seconds reverberation_time) {
  using namespace room;
  // Hann windows squared, `overlap` of them at each sample, add up to 3/8 of their number.
  constexpr int overlap = window_size / hop;
  constexpr float scale = 1.0F / (0.375F * overlap * window_size);
  const std::vector<float> window = periodic_hann(window_size);
  RealFft fft(window_size);
  TailFilter filter(reverberation_time.value());
  std::vector<float> sum(window_size, 0.0F);
  audio::SpillBuffer out;
  out.expect(samples.size());
  std::int64_t written = 0;
  for (std::int64_t at = hop - window_size; written < samples.size(); at += hop) {
    samples.read(at, fft.values());
    for (std::size_t i = 0; i < window.size(); ++i) fft.values()[i] *= window[i];
    fft.forward();
    filter.apply(fft.bins());
    fft.inverse();
    for (std::size_t i = 0; i < window.size(); ++i) sum[i] += scale * window[i] * fft.values()[i];
    if (at >= 0) {  // the first hop of the sum is complete
      const auto count = static_cast<std::ptrdiff_t>(std::min<std::int64_t>(hop, samples.size() - written));
      out.tail().insert(out.tail().end(), sum.begin(), sum.begin() + count);
      out.spill();
      written += count;
    }
    std::copy(sum.begin() + hop, sum.end(), sum.begin());
    std::fill(sum.end() - hop, sum.end(), 0.0F);
  }
  return out.finish();
}

}  // namespace firmus
