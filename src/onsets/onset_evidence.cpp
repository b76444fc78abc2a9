#include <algorithm>
#include <array>

#include "base/base.hpp"
#include "frame_features.hpp"
#include "onset_net.hpp"
#include "onsets/onsets.hpp"

namespace firmus::onsets {
namespace {

/// Frames judged in one go, 5 s: their features are made and dropped together. Fixed, so that the result does not
/// depend on the number of threads.
constexpr std::size_t net_block_frames = 1024;
constexpr std::size_t margin_frames = context_offsets.back();
static_assert(context_offsets.front() == -context_offsets.back());

/// Fills the log odds of the frames from `begin` to before `end`.
void run_onset_net(const Samples& samples, const Evidence& evidence, const CoarseF0Track& f0_track, const OnsetNet& net,
                   std::span<const float> harmonics_hz, std::size_t begin, std::size_t end, OnsetEvidence& log_odds) {
  const std::size_t first = begin - std::min(begin, margin_frames);
  const std::size_t last = std::min(evidence.frames(), end + margin_frames);
  const std::vector<FrameFeatures> features =
      features_of_frames(samples, evidence, f0_track, harmonics_hz, first, last);
  const NetInputs inputs(features, std::span(f0_track.f0_hz).subspan(first, last - first));
  std::array<float, net_inputs> row{};
  for (std::size_t i = begin; i < end; ++i) {
    inputs.fill(i - first, row);
    const auto [onset, offset] = net(row);
    log_odds.onset_logit[i] = onset;
    log_odds.offset_logit[i] = offset;
  }
}

}  // namespace
}  // namespace firmus::onsets

namespace firmus {

OnsetEvidence detect_onsets(const Samples& samples, const Evidence& evidence, const CoarseF0Track& f0_track,
                            const OnsetNet& net, int threads) {
  using namespace onsets;
  const std::vector<float> harmonics_hz = harmonics_f0_hz(f0_track.f0_hz);
  const std::size_t frames = evidence.frames();
  OnsetEvidence log_odds{std::vector<float>(frames), std::vector<float>(frames)};
  in_parallel((frames + net_block_frames - 1) / net_block_frames, threads, [&](std::size_t block) {
    const std::size_t begin = block * net_block_frames;
    run_onset_net(samples, evidence, f0_track, net, harmonics_hz, begin, std::min(frames, begin + net_block_frames),
                  log_odds);
  });
  return log_odds;
}

}  // namespace firmus
