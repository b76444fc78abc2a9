#include "boundaries.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <optional>

namespace firmus::decode {
namespace {

constexpr std::array<float, 7> triangle{1, 2, 3, 4, 3, 2, 1};
constexpr float triangle_sum = 16;
constexpr std::ptrdiff_t peak_reach = 5;     // frames, 25 ms
constexpr std::size_t voicing_delay = 4;     // the vowel begins 20 ms after the first periodic frame (measured)
constexpr std::size_t voicing_apart = 10;    // 50 ms
constexpr std::size_t least_voiced_run = 4;  // a note does not begin with a shorter run

// An onset that is certain but of uncertain time has low and wide log odds. The probabilities of the frames about a
// certain onset sum to 11 (the median of those found in the annotated takes).
constexpr std::ptrdiff_t mass_reach = 8;  // frames, 40 ms; 6 to 10 do as well
constexpr double certain_mass = 8, most_probability = 0.999;

// A step between two stable pitches begins a note even where the net sees none: two notes sung on one vowel differ in
// nothing else. Each side is measured from 30 to 120 ms away from the step, beyond the glide. That is longer than half
// a cycle of vibrato, so vibrato is not stable there; but the means of two successive cycles of it are equal.
constexpr std::size_t step_near = 6, step_far = 24;
constexpr float least_step_semitones = 0.55F, stable_within_semitones = 0.35F;
constexpr std::size_t vibrato_cycle =
    36;  // 180 ms, at 5.5 Hz; at 4.5 to 7 Hz the mean is off by a quarter of the extent
constexpr float most_drift_semitones = 0.25F;
constexpr float step_logit = -2.0F;        // log odds of an onset at a step, at least
constexpr float quick_step_logit = -1.0F;  // of a step between quick notes; with -2 they are not found
// A beginner's semitone may be a third of one. Its log odds are lower than a step's, but cost less than a note left
// out.
constexpr float least_small_step_semitones = 0.3F, small_step_logit = -4.0F;

bool is_peak(std::span<const float> values, std::ptrdiff_t i) {
  const auto n = static_cast<std::ptrdiff_t>(values.size());
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, i - peak_reach); k <= std::min(n - 1, i + peak_reach); ++k) {
    if (k < i && values[k] >= values[i]) return false;
    if (k > i && values[k] > values[i]) return false;
  }
  return true;
}

/// Log odds that a note begins at any of the frames about `i`.
float log_odds_about(std::span<const float> logits, std::size_t i) {
  const auto at = static_cast<std::ptrdiff_t>(i), n = static_cast<std::ptrdiff_t>(logits.size());
  double mass = 0;
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, at - mass_reach); k <= std::min(n - 1, at + mass_reach); ++k)
    mass += probability(logits[static_cast<std::size_t>(k)]);
  const double p = std::min(mass / certain_mass, most_probability);
  return static_cast<float>(std::log(p / (1 - p)));
}

std::vector<float> semitones_of(std::span<const float> f0_track_hz) {
  std::vector<float> semitones;  // from A4; NaN where unvoiced
  for (const float hz : f0_track_hz) semitones.push_back(hz > 0 ? 12 * std::log2(hz / 440.0F) : std::nanf(""));
  return semitones;
}

/// Median pitch over [from, from + step_far - step_near), in semitones from A4; none where it is not stable or
/// unvoiced.
std::optional<float> stable_pitch(std::span<const float> semitones, std::size_t from) {
  std::array<float, step_far - step_near> values{};
  std::ranges::copy(semitones.subspan(from, values.size()), values.begin());
  if (std::ranges::any_of(values, [](float value) { return std::isnan(value); })) return std::nullopt;
  std::ranges::sort(values);
  constexpr std::size_t tenth = values.size() / 10;
  if (values[values.size() - 1 - tenth] - values[tenth] > stable_within_semitones) return std::nullopt;
  return values[values.size() / 2];
}

/// Mean pitch over the cycle of vibrato next to `edge`, before or after it; none where there is an unvoiced frame, or
/// where the cycle beyond it has another mean.
std::optional<float> vibrato_mean(std::span<const float> semitones, std::size_t edge, bool before) {
  const std::size_t span = 2 * vibrato_cycle;
  if (before ? edge < span : edge + span > semitones.size()) return std::nullopt;
  const auto mean = [](std::span<const float> values) {
    return std::accumulate(values.begin(), values.end(), 0.0F) / static_cast<float>(values.size());
  };
  const std::size_t from = before ? edge - span : edge;
  const float first = mean(semitones.subspan(from, vibrato_cycle)),
              second = mean(semitones.subspan(from + vibrato_cycle, vibrato_cycle));
  if (!(std::abs(first - second) < most_drift_semitones)) return std::nullopt;  // also of NaN
  return before ? second : first;
}

/// Sizes of the steps of pitch at each frame, in semitones; 0 where there is none.
struct Steps {
  std::vector<float> between_stable, from_vibrato;
};

Steps steps_of(std::span<const float> f0_track_hz) {
  const std::vector<float> semitones = semitones_of(f0_track_hz);
  std::vector<std::optional<float>> stable(f0_track_hz.size());  // of the frames from i on
  for (std::size_t i = 0; i + (step_far - step_near) <= f0_track_hz.size(); ++i) stable[i] = stable_pitch(semitones, i);
  Steps steps{std::vector<float>(f0_track_hz.size()), std::vector<float>(f0_track_hz.size())};
  for (std::size_t i = step_far; i + step_far < f0_track_hz.size(); ++i) {
    const auto before = stable[i - step_far], after = stable[i + step_near + 1];
    const bool all_voiced =
        std::ranges::all_of(f0_track_hz.subspan(i - step_near, 2 * step_near), [](float f) { return f > 0; });
    if (!all_voiced) continue;
    if (before && after) steps.between_stable[i] = std::abs(*after - *before);
    if (before) continue;
    const auto from = vibrato_mean(semitones, i - step_near, true),
               to = after ? after : vibrato_mean(semitones, i + step_near + 1, false);
    if (from && to) steps.from_vibrato[i] = std::abs(*to - *from);
  }
  return steps;
}

/// The middle of each run of frames with a step.
std::vector<std::size_t> frames_of_steps(std::span<const float> steps, float least_semitones) {
  std::vector<std::size_t> frames;
  for (std::size_t i = 0; i < steps.size();) {
    if (steps[i] < least_semitones) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < steps.size() && steps[end] >= least_semitones) ++end;
    frames.push_back((i + end - 1) / 2);
    i = end;
  }
  return frames;
}

/// The middle of each step of pitch by half a semitone or more in 40 ms, between pitches of 30 ms.
std::vector<std::size_t> frames_of_quick_steps(std::span<const float> f0_track_hz) {
  constexpr std::size_t near = 4, width = 6;  // frames
  constexpr float least_semitones = 0.5F;
  const std::vector<float> semitones = semitones_of(f0_track_hz);
  std::vector<float> steps(semitones.size());
  const auto median_from = [&](std::size_t from) {
    std::array<float, width> values{};
    std::ranges::copy(std::span(semitones).subspan(from, width), values.begin());
    if (std::ranges::any_of(values, [](float value) { return std::isnan(value); })) return std::nanf("");
    std::ranges::sort(values);
    return (values[width / 2 - 1] + values[width / 2]) / 2;
  };
  for (std::size_t i = near + width; i + near + width < semitones.size(); ++i) {
    const float step = std::abs(median_from(i + near) - median_from(i - near - width));
    steps[i] = step >= least_semitones ? step : 0;  // also of NaN
  }
  return frames_of_steps(steps, least_semitones);
}

/// Boundaries in order of their frames. They are added in that order, and are found as soon as they are added.
class BoundaryList {
 public:
  explicit BoundaryList(std::vector<Boundary> in_order) : found_(std::move(in_order)) {}

  /// The most likely one within `apart` frames of `frame`, of equal ones the first found; null where there is none.
  Boundary* likeliest_near(std::size_t frame, std::size_t apart) {
    Boundary* best = nullptr;
    for (auto* boundaries : {&found_, &added_}) {
      auto near = std::ranges::lower_bound(*boundaries, frame - std::min(frame, apart), {}, &Boundary::frame);
      for (; near != boundaries->end() && near->frame <= frame + apart; ++near)
        if (best == nullptr || near->logit > best->logit) best = &*near;
    }
    return best;
  }
  void add(const Boundary& boundary) { added_.push_back(boundary); }
  /// Merges what was added into the order.
  void merge_added() {
    const auto middle = found_.insert(found_.end(), added_.begin(), added_.end());
    std::ranges::inplace_merge(found_, middle, {}, &Boundary::frame);
    added_.clear();
  }
  const std::vector<Boundary>& sorted() const { return found_; }

 private:
  std::vector<Boundary> found_, added_;
};

/// Adds a boundary at each of `frames` that has none within 200 ms, with log odds of `least` at least.
void add_isolated(std::span<const std::size_t> frames, float least, std::span<const float> logits,
                  BoundaryList& peaks) {
  constexpr std::size_t apart = 40;
  for (const std::size_t frame : frames)
    if (peaks.likeliest_near(frame, apart) == nullptr) peaks.add({frame, std::max(least, logits[frame])});
  peaks.merge_added();
}

/// Each of `frames` raises the most likely boundary within 40 ms to log odds of `least`, or adds one.
void raise_or_add(std::span<const std::size_t> frames, float least, std::span<const float> logits,
                  BoundaryList& peaks) {
  constexpr std::size_t same_apart = 8;
  for (const std::size_t frame : frames) {
    if (Boundary* const there = peaks.likeliest_near(frame, same_apart))
      there->logit = std::max(there->logit, least);
    else
      peaks.add({frame, std::max(least, logits[frame])});
  }
  peaks.merge_added();
}

/// Each step between stable pitches raises a boundary or adds one. Less certain steps, out of vibrato or smaller ones,
/// only add one where there is none.
void add_steps(std::span<const float> f0_track_hz, std::span<const float> logits, float least_logit,
               BoundaryList& peaks) {
  const Steps steps = steps_of(f0_track_hz);
  raise_or_add(frames_of_steps(steps.between_stable, least_step_semitones), step_logit, logits, peaks);
  add_isolated(frames_of_steps(steps.from_vibrato, least_step_semitones), step_logit, logits, peaks);
  if (small_step_logit >= least_logit)
    add_isolated(frames_of_steps(steps.between_stable, least_small_step_semitones), small_step_logit, logits, peaks);
}

/// A frame soon after the last pitch before each long rest. There a note may end, or it would have to last until the
/// next one begins, which is further off than a note may be long.
std::vector<std::size_t> ends_before_rests(std::span<const float> f0_track_hz) {
  constexpr std::size_t least_rest = 300, after = 60;  // 1.5 s, 0.3 s
  std::vector<std::size_t> frames;
  std::size_t last_voiced = f0_track_hz.size();
  for (std::size_t i = 0; i < f0_track_hz.size(); ++i) {
    if (f0_track_hz[i] <= 0) continue;
    if (last_voiced < i && i - last_voiced > least_rest) frames.push_back(last_voiced + after);
    last_voiced = i;
  }
  return frames;
}

constexpr float no_onset = -7.0F;  // log odds of an onset in a rest, at most

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

double probability(double logit) {
  return 1 / (1 + std::exp(-logit));
}

std::vector<Boundary> find_boundaries(std::span<const float> f0_track_hz, std::span<const float> onset_logits,
                                      float least_logit, NoteLengths lengths) {
  const std::vector<float> logits = smooth_logits(onset_logits);
  std::vector<Boundary> found;
  for (std::size_t i = 0; i < logits.size(); ++i) {
    if (!is_peak(logits, static_cast<std::ptrdiff_t>(i))) continue;
    const float logit = (logits[i] + log_odds_about(onset_logits, i)) / 2;
    if (logit > least_logit) found.push_back({i, logit});
  }
  BoundaryList peaks(std::move(found));
  add_steps(f0_track_hz, logits, least_logit, peaks);
  if (lengths == NoteLengths::quick) raise_or_add(frames_of_quick_steps(f0_track_hz), quick_step_logit, logits, peaks);
  std::vector<Boundary> all = peaks.sorted();
  for (const std::size_t frame : ends_before_rests(f0_track_hz))
    all.push_back({frame, std::min(no_onset, logits[frame])});
  std::size_t run = 0;
  for (std::size_t i = 0; i < logits.size(); ++i) {
    run = f0_track_hz[i] > 0 ? run + 1 : 0;
    if (run != least_voiced_run) continue;
    const std::size_t start = std::min(i + 1 - run + voicing_delay, logits.size() - 1);
    if (peaks.likeliest_near(start, voicing_apart) == nullptr) all.push_back({start, logits[start]});
  }
  std::ranges::sort(all, {}, &Boundary::frame);
  return all;
}

}  // namespace firmus::decode
