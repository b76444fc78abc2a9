// Refined f0 of every voiced frame. All harmonics are demodulated along a reference f0 that follows the coarse track;
// the instantaneous frequency of each baseband signal (Auger & Flandrin, IEEE Trans. Signal Processing 43(5), 1995) is
// its harmonic's distance from the reference. The window spans whole periods, so that neighbouring harmonics fall on
// the zeros of its spectrum. Harmonic k of amplitude A has weight k^2 A^2, which attains the Cramer-Rao bound in white
// noise (Christensen & Jakobsson, Multi-Pitch Estimation, 2009). Two passes: a short window brings the reference near;
// a long one, along the smoothed result, measures the remainder (twicing, Tukey 1977), so that vibrato is hardly
// smoothed.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "base/base.hpp"
#include "demodulate.hpp"
#include "firmus/theory.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {
namespace {

constexpr double sample_rate_hz = Samples::rate_hz;
constexpr double highest_harmonic_hz = 6500;     ///< 8 kHz at this rate, less the transition band of the resampler
constexpr double largest_correction_cents = 70;  ///< a frame further from its candidate keeps the coarse value
constexpr double run_break_cents = 150;          ///< no voice glides this far from frame to frame: a new run begins
constexpr int piece_frames = 400;                ///< long runs are worked on in pieces of 2 s: memory stays small
constexpr int margin_frames = 12;  ///< on both sides of a piece: half the longest window, and a baseband sample

struct Pass {
  double least_window_s;
  double least_periods;
  int harmonics;
};
/// The first must correct errors of 30 cents at 2.6 kHz (46 Hz), so its window is short. The second is as long as
/// vibrato allows: a window of 50 ms reduces vibrato of 5.5 Hz by 5 % in one pass, by 0.2 % in two.
constexpr Pass quick_pass{0.012, 3, 3};
constexpr Pass fine_pass{0.050, 3, Demodulator::most_harmonics};
constexpr double longest_window_s = 0.100;
constexpr double presmooth_window_s = 0.030;  ///< removes the jitter of the coarse track

double window_s(const Pass& pass, double f0_hz) {
  const double periods = std::max(pass.least_periods, std::ceil(pass.least_window_s * f0_hz));
  return std::min(periods / f0_hz, longest_window_s);
}

int harmonics_at(const Pass& pass, double f0_hz) {
  return std::clamp(static_cast<int>(highest_harmonic_hz / f0_hz), 1, pass.harmonics);
}

/// Sums under a Hann window and under its derivative, one for each harmonic.
struct WindowSums {
  alignas(16) std::array<float, Demodulator::most_harmonics> re, im, slope_re, slope_im;
};

/// Hann window about one frame and its derivative, at the baseband samples; by rotation from sample to sample.
class Window {
 public:
  void set(int frame_in_piece, double length_s, int value_count) {
    const double half = length_s * sample_rate_hz / 2, centre = frame_in_piece * frame_samples;
    constexpr double step = Demodulator::decimation;
    first_ = std::max(0, static_cast<int>(std::ceil((centre - half - Demodulator::time_of(0)) / step)));
    const int end =
        std::min(value_count, static_cast<int>(std::floor((centre + half - Demodulator::time_of(0)) / step)) + 1);
    count_ = std::min(end - first_, most);
    const double start = std::numbers::pi * (Demodulator::time_of(first_) - centre) / half;
    const double rotation = std::numbers::pi * step / half, rotation_cos = std::cos(rotation),
                 rotation_sin = std::sin(rotation);
    double c = std::cos(start), s = std::sin(start);
    const double steep = -std::numbers::pi / (2 * half);
    for (int i = 0; i < count_; ++i) {
      hann_[static_cast<std::size_t>(i)] = static_cast<float>(0.5 + 0.5 * c);
      slope_[static_cast<std::size_t>(i)] = static_cast<float>(steep * s);
      const double next = c * rotation_cos - s * rotation_sin;
      s = s * rotation_cos + c * rotation_sin;
      c = next;
    }
  }

  void sum(const Demodulator& baseband, int harmonics, WindowSums& sums) const {
    for (int k = 0; k < harmonics; k += together) sum_four(baseband, k, sums);
  }

 private:
  static constexpr int together = 4;  ///< harmonics summed at once: their four sums stay in registers
  using Four [[gnu::vector_size(16)]] = float;
  static constexpr int most = 96;  ///< baseband samples in the longest window (80), and some

  void sum_four(const Demodulator& baseband, int k, WindowSums& sums) const {
    Four re{}, im{}, slope_re{}, slope_im{};
    for (int i = 0; i < count_; ++i) {
      const float *x = baseband.real(first_ + i) + k, *y = baseband.imag(first_ + i) + k;
      const Four at_re{x[0], x[1], x[2], x[3]}, at_im{y[0], y[1], y[2], y[3]};
      const float w = hann_[static_cast<std::size_t>(i)], d = slope_[static_cast<std::size_t>(i)];
      re += w * at_re, im += w * at_im;
      slope_re += d * at_re, slope_im += d * at_im;
    }
    for (int j = 0; j < together; ++j) {
      const auto at = static_cast<std::size_t>(k + j);
      sums.re[at] = re[j], sums.im[at] = im[j], sums.slope_re[at] = slope_re[j], sums.slope_im[at] = slope_im[j];
    }
  }

  int first_ = 0, count_ = 0;
  std::array<float, most> hann_{}, slope_{};
};

/// f0 minus the reference in Hz, from all harmonics.
double offset_hz(const WindowSums& sums, int harmonics) {
  double top = 0, bottom = 0;
  for (int i = 0; i < harmonics; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double order = i + 1;
    const double power = static_cast<double>(sums.re[k]) * sums.re[k] + static_cast<double>(sums.im[k]) * sums.im[k];
    const double weighted_frequency =
        static_cast<double>(sums.slope_re[k]) * sums.im[k] - static_cast<double>(sums.slope_im[k]) * sums.re[k];
    top += order * weighted_frequency;
    bottom += order * order * power;
  }
  return bottom > 0 ? top / bottom * sample_rate_hz / (2 * std::numbers::pi) : 0.0;
}

/// Both passes over one run of voiced frames.
class RunRefiner {
 public:
  explicit RunRefiner(const Samples& samples) : samples_(samples) {}

  void refine(std::span<const float> coarse_hz, std::int64_t first_frame, std::span<float> out_hz) {
    result_.assign(coarse_hz.begin(), coarse_hz.end());
    smooth_reference(presmooth_window_s);
    measure_along(quick_pass, first_frame);
    clamp_to_candidate(coarse_hz);
    smooth_reference(fine_pass.least_window_s);
    measure_along(fine_pass, first_frame);
    clamp_to_candidate(coarse_hz);
    for (std::size_t i = 0; i < out_hz.size(); ++i) out_hz[i] = static_cast<float>(result_[i]);
  }

 private:
  double reference_at(std::int64_t i) const {
    return reference_[static_cast<std::size_t>(
        std::clamp<std::int64_t>(i, 0, static_cast<std::int64_t>(reference_.size()) - 1))];
  }

  void measure_along(const Pass& pass, std::int64_t first_frame) {
    result_.resize(reference_.size());
    const auto frames = static_cast<std::int64_t>(reference_.size());
    for (std::int64_t begin = 0; begin < frames; begin += piece_frames) {
      const std::int64_t end = std::min(frames, begin + piece_frames);
      piece_.clear();
      for (std::int64_t i = begin - margin_frames; i < end + margin_frames; ++i) piece_.push_back(reference_at(i));
      const double lowest = *std::min_element(piece_.begin(), piece_.end());
      baseband_.run(samples_, piece_, first_frame + begin - margin_frames, harmonics_at(pass, lowest));
      for (std::int64_t i = begin; i < end; ++i) result_[static_cast<std::size_t>(i)] = measured(pass, i, begin);
    }
  }

  double measured(const Pass& pass, std::int64_t i, std::int64_t piece_begin) {
    const double reference = reference_at(i);
    const auto place = static_cast<int>(i - piece_begin) + margin_frames;
    const int harmonics = harmonics_at(pass, reference);
    WindowSums sums;
    window_.set(place, window_s(pass, reference), baseband_.size());
    window_.sum(baseband_, harmonics, sums);
    return reference + offset_hz(sums, harmonics);
  }

  void clamp_to_candidate(std::span<const float> coarse_hz) {
    static const double most = std::exp2(largest_correction_cents / 1200);
    for (std::size_t i = 0; i < result_.size(); ++i) {
      const double ratio = result_[i] / coarse_hz[i];
      if (!(ratio < most && ratio > 1 / most)) result_[i] = coarse_hz[i];
    }
  }

  /// The next reference: the result smoothed by a biweight kernel, which takes out the noise of the pass before.
  void smooth_reference(double least_window_s) {
    reference_.resize(result_.size());
    const auto frames = static_cast<std::int64_t>(result_.size());
    for (std::int64_t i = 0; i < frames; ++i) {
      const double length_s =
          window_s({least_window_s, fine_pass.least_periods, 0}, result_[static_cast<std::size_t>(i)]);
      const double half = length_s * sample_rate_hz / frame_samples / 2;
      const auto reach = static_cast<std::int64_t>(half);
      double sum = 0, weight = 0;
      for (std::int64_t j = -reach; j <= reach; ++j) {
        const std::int64_t at = std::clamp<std::int64_t>(i + j, 0, frames - 1);
        const double u = static_cast<double>(j) / half, w = (1 - u * u) * (1 - u * u);
        sum += w * result_[static_cast<std::size_t>(at)], weight += w;
      }
      reference_[static_cast<std::size_t>(i)] = sum / weight;
    }
  }

  const Samples& samples_;
  Demodulator baseband_;
  Window window_;
  std::vector<double> reference_, result_, piece_;
};

bool breaks_run(float before_hz, float hz) {
  return hz <= 0 || std::abs(cents_between(Hertz(before_hz), Hertz(hz))) > run_break_cents;
}

/// Frames of one run, [begin, end).
struct Run {
  std::size_t begin, end;
};

std::vector<Run> runs_of(std::span<const float> coarse_hz) {
  std::vector<Run> runs;
  for (std::size_t begin = 0; begin < coarse_hz.size();) {
    if (coarse_hz[begin] <= 0) {
      ++begin;
      continue;
    }
    std::size_t end = begin + 1;
    while (end < coarse_hz.size() && !breaks_run(coarse_hz[end - 1], coarse_hz[end])) ++end;
    runs.push_back({begin, end});
    begin = end;
  }
  return runs;
}

}  // namespace
}  // namespace firmus::measure

namespace firmus {

std::vector<float> refine_track(const Samples& samples, std::span<const float> coarse_hz, int threads) {
  using namespace measure;
  constexpr std::size_t runs_at_once = 16;  // they share the refiner's buffers
  std::vector<float> refined(coarse_hz.size(), 0.0F);
  const std::vector<Run> runs = runs_of(coarse_hz);
  in_parallel((runs.size() + runs_at_once - 1) / runs_at_once, threads, [&](std::size_t share) {
    RunRefiner refiner(samples);
    const std::size_t first = share * runs_at_once, count = std::min(runs_at_once, runs.size() - first);
    for (const Run& run : std::span(runs).subspan(first, count)) {
      const std::size_t length = run.end - run.begin;
      refiner.refine(coarse_hz.subspan(run.begin, length), static_cast<std::int64_t>(run.begin),
                     std::span(refined).subspan(run.begin, length));
    }
  });
  return refined;
}

}  // namespace firmus
