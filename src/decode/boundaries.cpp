#include "boundaries.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace firmus {
namespace {

constexpr std::array<float, 7> triangle{1, 2, 3, 4, 3, 2, 1};
constexpr float triangle_sum = 16;
constexpr std::ptrdiff_t peak_reach = 5;     // frames, 25 ms
constexpr std::size_t voicing_delay = 4;     // the vowel is there 20 ms after the first periodic frame (measured)
constexpr std::size_t voicing_apart = 10;    // 50 ms
constexpr std::size_t least_voiced_run = 4;  // shorter runs start no note

// A step of pitch between two places where it rests starts a note, whatever the sound does: a semitone sung on in one
// vowel leaves no other trace. Each side is looked at from 30 to 120 ms away: past the glide, and longer than half a
// cycle of vibrato, which therefore does not rest.
constexpr std::size_t step_near = 6, step_far = 24;
constexpr float least_step_semitones = 0.55F, most_unrest_semitones = 0.35F;
constexpr float step_logit = -2.0F;  // what a step is worth where the net sees nothing

bool is_peak(std::span<const float> values, std::ptrdiff_t i) {
  const auto n = static_cast<std::ptrdiff_t>(values.size());
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, i - peak_reach); k <= std::min(n - 1, i + peak_reach); ++k) {
    if (k < i && values[k] >= values[i]) return false;
    if (k > i && values[k] > values[i]) return false;
  }
  return true;
}

/// Where the line rests over frames [from, to), in semitones from A4; none where it moves or stops.
std::optional<float> rest_of(std::span<const float> line_hz, std::size_t from, std::size_t to) {
  std::array<float, step_far - step_near> semitones{};
  for (std::size_t i = from; i < to; ++i) {
    if (line_hz[i] <= 0) return std::nullopt;
    semitones[i - from] = 12 * std::log2(line_hz[i] / 440.0F);
  }
  std::ranges::sort(semitones);
  constexpr std::size_t tenth = semitones.size() / 10;
  if (semitones[semitones.size() - 1 - tenth] - semitones[tenth] > most_unrest_semitones) return std::nullopt;
  return semitones[semitones.size() / 2];
}

/// Size of the step of pitch at each frame, in semitones; 0 where there is none.
std::vector<float> steps_of(std::span<const float> line_hz) {
  std::vector<std::optional<float>> rests(line_hz.size());  // of the frames from i on
  for (std::size_t i = 0; i + (step_far - step_near) <= line_hz.size(); ++i)
    rests[i] = rest_of(line_hz, i, i + step_far - step_near);
  std::vector<float> steps(line_hz.size(), 0.0F);
  for (std::size_t i = step_far; i + step_far < line_hz.size(); ++i) {
    const auto before = rests[i - step_far], after = rests[i + step_near + 1];
    const bool tied = std::ranges::all_of(line_hz.subspan(i - step_near, 2 * step_near), [](float f) { return f > 0; });
    if (before && after && tied) steps[i] = std::abs(*after - *before);
  }
  return steps;
}

/// The middle of each run of frames that see one step.
std::vector<std::size_t> step_places(std::span<const float> line_hz) {
  const std::vector<float> steps = steps_of(line_hz);
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < steps.size();) {
    if (steps[i] < least_step_semitones) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < steps.size() && steps[end] >= least_step_semitones) ++end;
    places.push_back((i + end - 1) / 2);
    i = end;
  }
  return places;
}

bool are_near(std::size_t a, std::size_t b, std::size_t apart) {
  return (a > b ? a - b : b - a) <= apart;
}

/// Each step raises the likeliest boundary that is there, or makes one.
void add_steps(std::span<const float> line_hz, std::span<const float> logits, std::vector<Boundary>& peaks) {
  constexpr std::size_t same_apart = 8;
  for (const std::size_t place : step_places(line_hz)) {
    Boundary* best = nullptr;
    for (Boundary& peak : peaks) {
      if (are_near(peak.frame, place, same_apart) && (best == nullptr || peak.logit > best->logit)) {
        best = &peak;
      }
    }
    if (best == nullptr) {
      peaks.push_back({place, std::max(step_logit, logits[place])});
    } else {
      best->logit = std::max(best->logit, step_logit);
    }
  }
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
  add_steps(evidence.line_hz, logits, peaks);
  std::vector<Boundary> all = peaks;
  std::size_t run = 0;
  for (std::size_t i = 0; i < logits.size(); ++i) {
    run = evidence.voiced(i) ? run + 1 : 0;
    if (run != least_voiced_run) continue;
    const std::size_t start = std::min(i + 1 - run + voicing_delay, logits.size() - 1);
    const auto near = [&](const Boundary& b) { return are_near(b.frame, start, voicing_apart); };
    if (std::ranges::none_of(peaks, near)) all.push_back({start, logits[start]});
  }
  std::ranges::sort(all, {}, &Boundary::frame);
  return all;
}

}  // namespace firmus
