#include "boundaries.hpp"

#include <algorithm>
#include <array>

namespace firmus {
namespace {

constexpr std::array<float, 7> triangle{1, 2, 3, 4, 3, 2, 1};
constexpr float triangle_sum = 16;
constexpr std::ptrdiff_t peak_reach = 5;     // frames, 25 ms
constexpr std::size_t voicing_delay = 4;     // the vowel is there 20 ms after the first periodic frame (measured)
constexpr std::size_t voicing_apart = 10;    // 50 ms
constexpr std::size_t least_voiced_run = 4;  // shorter runs start no note

bool is_peak(std::span<const float> values, std::ptrdiff_t i) {
  const auto n = static_cast<std::ptrdiff_t>(values.size());
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, i - peak_reach); k <= std::min(n - 1, i + peak_reach); ++k) {
    if (k < i && values[k] >= values[i]) return false;
    if (k > i && values[k] > values[i]) return false;
  }
  return true;
}

}  // namespace

std::vector<float> smooth_logits(std::span<const float> logits) {
  const auto n = static_cast<std::ptrdiff_t>(logits.size());
  std::vector<float> smooth(logits.size());
  for (std::ptrdiff_t i = 0; i < n; ++i) {
    float sum = 0;
    for (std::ptrdiff_t k = 0; k < 7; ++k)
      sum += triangle[static_cast<std::size_t>(k)] * logits[std::clamp<std::ptrdiff_t>(i + k - 3, 0, n - 1)];
    smooth[static_cast<std::size_t>(i)] = sum / triangle_sum;
  }
  return smooth;
}

std::vector<Boundary> find_boundaries(const Evidence& evidence, float least_logit) {
  const std::vector<float> logits = smooth_logits(evidence.onset_logit);
  std::vector<Boundary> peaks;
  for (std::size_t i = 0; i < logits.size(); ++i)
    if (logits[i] > least_logit && is_peak(logits, static_cast<std::ptrdiff_t>(i))) peaks.push_back({i, logits[i]});
  std::vector<Boundary> all = peaks;
  std::size_t run = 0;
  for (std::size_t i = 0; i < logits.size(); ++i) {
    run = evidence.voiced(i) ? run + 1 : 0;
    if (run != least_voiced_run) continue;
    const std::size_t start = std::min(i + 1 - run + voicing_delay, logits.size() - 1);
    const auto near = [&](const Boundary& b) {
      return (b.frame > start ? b.frame - start : start - b.frame) <= voicing_apart;
    };
    if (std::ranges::none_of(peaks, near)) all.push_back({start, logits[start]});
  }
  std::ranges::sort(all, {}, &Boundary::frame);
  return all;
}

}  // namespace firmus
