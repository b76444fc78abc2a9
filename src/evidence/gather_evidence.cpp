#include <algorithm>
#include <array>

#include "base/base.hpp"
#include "evidence/evidence.hpp"
#include "frame_measures.hpp"
#include "onset_net.hpp"

namespace firmus {
namespace {

constexpr std::size_t margin_frames = look_offsets.back();
static_assert(look_offsets.front() == -look_offsets.back());

/// The net's verdict on the frames from `begin` to before `end`: only it needs their measures, so they are made here
/// and forgotten again.
void judge_block(const Samples& samples, const OnsetNet& net, std::span<const float> harmonics_hz, std::size_t begin,
                 std::size_t end, Evidence& evidence) {
  const std::size_t first = begin - std::min(begin, margin_frames);
  const std::size_t last = std::min(evidence.frames(), end + margin_frames);
  const std::vector<FrameMeasures> measures = measure_frames(samples, evidence, harmonics_hz, first, last);
  const NetInputs inputs(measures, std::span(evidence.f0_track_hz).subspan(first, last - first));
  std::array<float, net_inputs> row{};
  for (std::size_t i = begin; i < end; ++i) {
    inputs.fill(i - first, row);
    const auto [onset, offset] = net(row);
    evidence.onset_logit[i] = onset;
    evidence.offset_logit[i] = offset;
  }
}

}  // namespace

Evidence gather_evidence(const Samples& samples, const PitchRange& range, const OnsetNet& net, int threads) {
  Evidence evidence;
  gather_pitch_evidence(samples, range, threads, evidence);
  const std::vector<float> harmonics_hz = harmonics_at_hz(evidence.f0_track_hz);
  const std::size_t frames = evidence.frames();
  evidence.onset_logit.resize(frames);
  evidence.offset_logit.resize(frames);
  in_parallel((frames + block_frames - 1) / block_frames, threads, [&](std::size_t block) {
    const std::size_t begin = block * block_frames;
    judge_block(samples, net, harmonics_hz, begin, std::min(frames, begin + block_frames), evidence);
  });
  return evidence;
}

}  // namespace firmus
