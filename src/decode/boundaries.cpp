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
constexpr std::size_t voicing_delay = 4;     // the vowel is there 20 ms after the first periodic frame (measured)
constexpr std::size_t voicing_apart = 10;    // 50 ms
constexpr std::size_t least_voiced_run = 4;  // shorter runs start no note

// An onset that is sure but not of its place lies low and wide. A sure one has 11 frames' worth of evidence about it
// (the median of those found in the annotated takes).
constexpr std::ptrdiff_t mass_reach = 8;  // frames, 40 ms; 6 to 10 do as well
constexpr double sure_mass = 8, most_share_of_mass = 0.999;

// A step of pitch between two places where it rests starts a note, whatever the sound does: a semitone sung on in one
// vowel leaves no other trace. Each side is looked at from 30 to 120 ms away: past the glide, and longer than half a
// cycle of vibrato, which therefore does not rest, but two cycles on end have the same mean.
constexpr std::size_t step_near = 6, step_far = 24;
constexpr float least_step_semitones = 0.55F, most_unrest_semitones = 0.35F;
constexpr std::size_t vibrato_cycle = 36;  // 180 ms, at 5.5 Hz; at 4.5 to 7 Hz the mean is a quarter of the extent off
constexpr float most_drift_semitones = 0.25F;
constexpr float step_logit = -2.0F;  // what a step is worth where the net sees nothing
// A beginner's semitone may be a third of one: dearer than a step, but not as dear as a note left out.
constexpr float least_small_step_semitones = 0.3F, small_step_logit = -4.0F;

bool is_peak(std::span<const float> values, std::ptrdiff_t i) {
  const auto n = static_cast<std::ptrdiff_t>(values.size());
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, i - peak_reach); k <= std::min(n - 1, i + peak_reach); ++k) {
    if (k < i && values[k] >= values[i]) return false;
    if (k > i && values[k] > values[i]) return false;
  }
  return true;
}

/// Log odds that a note starts at one of the frames about `i`, by the evidence of all of them.
float log_odds_about(std::span<const float> logits, std::size_t i) {
  const auto at = static_cast<std::ptrdiff_t>(i), n = static_cast<std::ptrdiff_t>(logits.size());
  double mass = 0;
  for (std::ptrdiff_t k = std::max<std::ptrdiff_t>(0, at - mass_reach); k <= std::min(n - 1, at + mass_reach); ++k)
    mass += probability(logits[static_cast<std::size_t>(k)]);
  const double share = std::min(mass / sure_mass, most_share_of_mass);
  return static_cast<float>(std::log(share / (1 - share)));
}

std::vector<float> semitones_of(std::span<const float> f0_track_hz) {
  std::vector<float> semitones;  // from A4; none where there is no pitch
  for (const float hz : f0_track_hz) semitones.push_back(hz > 0 ? 12 * std::log2(hz / 440.0F) : std::nanf(""));
  return semitones;
}

/// Where the line rests over [from, from + step_far - step_near), in semitones from A4; none where it moves or stops.
std::optional<float> rest_of(std::span<const float> semitones, std::size_t from) {
  std::array<float, step_far - step_near> values{};
  std::ranges::copy(semitones.subspan(from, values.size()), values.begin());
  if (std::ranges::any_of(values, [](float value) { return std::isnan(value); })) return std::nullopt;
  std::ranges::sort(values);
  constexpr std::size_t tenth = values.size() / 10;
  if (values[values.size() - 1 - tenth] - values[tenth] > most_unrest_semitones) return std::nullopt;
  return values[values.size() / 2];
}

/// Mean over the cycle of vibrato next to `edge`, before or after it; none where the line stops, or where the next
/// cycle away has another mean.
std::optional<float> vibrato_about(std::span<const float> semitones, std::size_t edge, bool before) {
  const std::size_t span = 2 * vibrato_cycle;
  if (before ? edge < span : edge + span > semitones.size()) return std::nullopt;
  const auto mean = [](std::span<const float> values) {
    return std::accumulate(values.begin(), values.end(), 0.0F) / static_cast<float>(values.size());
  };
  const std::size_t from = before ? edge - span : edge;
  const float first = mean(semitones.subspan(from, vibrato_cycle)),
              second = mean(semitones.subspan(from + vibrato_cycle, vibrato_cycle));
  if (!(std::abs(first - second) < most_drift_semitones)) return std::nullopt;  // nor where there is no pitch
  return before ? second : first;
}

/// Sizes of the steps of pitch at each frame, in semitones; 0 where there is none.
struct Steps {
  std::vector<float> between_rests, from_vibrato;
};

Steps steps_of(std::span<const float> f0_track_hz) {
  const std::vector<float> semitones = semitones_of(f0_track_hz);
  std::vector<std::optional<float>> rests(f0_track_hz.size());  // of the frames from i on
  for (std::size_t i = 0; i + (step_far - step_near) <= f0_track_hz.size(); ++i) rests[i] = rest_of(semitones, i);
  Steps steps{std::vector<float>(f0_track_hz.size()), std::vector<float>(f0_track_hz.size())};
  for (std::size_t i = step_far; i + step_far < f0_track_hz.size(); ++i) {
    const auto before = rests[i - step_far], after = rests[i + step_near + 1];
    const bool tied =
        std::ranges::all_of(f0_track_hz.subspan(i - step_near, 2 * step_near), [](float f) { return f > 0; });
    if (!tied) continue;
    if (before && after) steps.between_rests[i] = std::abs(*after - *before);
    if (before) continue;
    const auto about = vibrato_about(semitones, i - step_near, true),
               to = after ? after : vibrato_about(semitones, i + step_near + 1, false);
    if (about && to) steps.from_vibrato[i] = std::abs(*to - *about);
  }
  return steps;
}

/// The middle of each run of frames that see one step.
std::vector<std::size_t> places_of(std::span<const float> steps, float least_semitones) {
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < steps.size();) {
    if (steps[i] < least_semitones) {
      ++i;
      continue;
    }
    std::size_t end = i;
    while (end < steps.size() && steps[end] >= least_semitones) ++end;
    places.push_back((i + end - 1) / 2);
    i = end;
  }
  return places;
}

/// Boundaries by frame; what is added comes by frame too, and counts from then on.
class Peaks {
 public:
  explicit Peaks(std::vector<Boundary> sorted) : found_(std::move(sorted)) {}

  /// The likeliest no more than `apart` frames from `place`, of equal ones the first found; null where there is none.
  Boundary* likeliest_near(std::size_t place, std::size_t apart) {
    Boundary* best = nullptr;
    for (auto* boundaries : {&found_, &added_}) {
      auto near = std::ranges::lower_bound(*boundaries, place - std::min(place, apart), {}, &Boundary::frame);
      for (; near != boundaries->end() && near->frame <= place + apart; ++near)
        if (best == nullptr || near->logit > best->logit) best = &*near;
    }
    return best;
  }
  void add(const Boundary& boundary) { added_.push_back(boundary); }
  /// Puts what was added in its place.
  void settle() {
    const auto middle = found_.insert(found_.end(), added_.begin(), added_.end());
    std::ranges::inplace_merge(found_, middle, {}, &Boundary::frame);
    added_.clear();
  }
  const std::vector<Boundary>& settled() const { return found_; }

 private:
  std::vector<Boundary> found_, added_;
};

/// A boundary at each of the places that has none anywhere near.
void add_alone(std::span<const std::size_t> places, float worth, std::span<const float> logits, Peaks& peaks) {
  constexpr std::size_t apart = 40;  // 200 ms
  for (const std::size_t place : places)
    if (peaks.likeliest_near(place, apart) == nullptr) peaks.add({place, std::max(worth, logits[place])});
  peaks.settle();
}

/// Each step between rests raises the likeliest boundary that is there, or makes one. What is seen less surely, out of
/// vibrato or less than a semitone, makes one where the net sees none.
void add_steps(std::span<const float> f0_track_hz, std::span<const float> logits, float least_logit, Peaks& peaks) {
  constexpr std::size_t same_apart = 8;
  const Steps steps = steps_of(f0_track_hz);
  for (const std::size_t place : places_of(steps.between_rests, least_step_semitones)) {
    if (Boundary* const there = peaks.likeliest_near(place, same_apart))
      there->logit = std::max(there->logit, step_logit);
    else
      peaks.add({place, std::max(step_logit, logits[place])});
  }
  peaks.settle();
  add_alone(places_of(steps.from_vibrato, least_step_semitones), step_logit, logits, peaks);
  if (small_step_logit >= least_logit)
    add_alone(places_of(steps.between_rests, least_small_step_semitones), small_step_logit, logits, peaks);
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

double probability(double logit) {
  return 1 / (1 + std::exp(-logit));
}

std::vector<Boundary> find_boundaries(std::span<const float> f0_track_hz, std::span<const float> onset_logits,
                                      float least_logit) {
  const std::vector<float> logits = smooth_logits(onset_logits);
  std::vector<Boundary> found;
  for (std::size_t i = 0; i < logits.size(); ++i) {
    if (!is_peak(logits, static_cast<std::ptrdiff_t>(i))) continue;
    const float logit = (logits[i] + log_odds_about(onset_logits, i)) / 2;
    if (logit > least_logit) found.push_back({i, logit});
  }
  Peaks peaks(std::move(found));
  add_steps(f0_track_hz, logits, least_logit, peaks);
  std::vector<Boundary> all = peaks.settled();
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
