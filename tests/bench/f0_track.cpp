#include "f0_track.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "aubio_handles.hpp"
#include "trackers.hpp"

namespace firmus::bench {
namespace {

constexpr unsigned window_samples = 2048;
constexpr double high_hz = 1000;
constexpr double least_power = 1e-12;

std::vector<double> aubio_line(const Sound& sound, const std::string& method, double least_confidence) {
  const AubioPitch tracker(new_aubio_pitch(method.c_str(), window_samples, track_hop_samples, sound.rate_hz));
  const AubioVector out(new_fvec(1));
  std::vector<double> f0_hz;
  for_each_hop(sound.samples, track_hop_samples, [&](const fvec_t* hop) {
    aubio_pitch_do(tracker.get(), hop, out.get());
    // The confidence that libaubio gives with yinfft is no measure of voicing: it is below 0 where the voice is clear.
    const bool believed =
        method == "yinfft" || static_cast<double>(aubio_pitch_get_confidence(tracker.get())) >= least_confidence;
    f0_hz.push_back(believed ? fvec_get_sample(out.get(), 0) : 0);
  });
  return f0_hz;
}

/// A Butterworth high-pass of second order (bilinear).
std::vector<double> above(double hz, const Sound& sound) {
  const double w = 2 * std::numbers::pi * hz / sound.rate_hz, alpha = std::sin(w) / std::numbers::sqrt2;
  const double c = std::cos(w), gain = (1 + c) / 2 / (1 + alpha), a1 = -2 * c / (1 + alpha),
               a2 = (1 - alpha) / (1 + alpha);
  std::vector<double> out;
  double x1 = 0, x2 = 0, y1 = 0, y2 = 0;
  for (const float sample : sound.samples) {
    const double x = static_cast<double>(sample), y = gain * (x - 2 * x1 + x2) - a1 * y1 - a2 * y2;
    x2 = x1, x1 = x, y2 = y1, y1 = y;
    out.push_back(y);
  }
  return out;
}

template <typename Samples>
std::vector<double> hop_powers(const Samples& samples) {
  std::vector<double> powers;
  for (std::size_t at = 0; at + track_hop_samples <= samples.size(); at += track_hop_samples) {
    double power = 0;
    for (std::size_t i = at; i < at + track_hop_samples; ++i)
      power += static_cast<double>(samples[i]) * static_cast<double>(samples[i]);
    powers.push_back(power / track_hop_samples);
  }
  return powers;
}

std::vector<double> smooth_db(const std::vector<double>& powers, std::size_t either_way) {
  std::vector<double> db;
  for (std::size_t i = 0; i < powers.size(); ++i) {
    const std::size_t from = i - std::min(i, either_way), to = std::min(powers.size(), i + either_way + 1);
    double sum = 0;
    for (std::size_t j = from; j < to; ++j) sum += powers[j];
    db.push_back(10 * std::log10(sum / static_cast<double>(to - from) + least_power));
  }
  return db;
}

}  // namespace

std::size_t F0Track::frame_at(double time_s) const {
  return std::min(f0_hz.size(), static_cast<std::size_t>(std::max(0.0, time_s / hop_s)));
}

std::vector<double> F0Track::voiced(std::size_t from, std::size_t to) const {
  std::vector<double> values;
  for (std::size_t i = from; i < std::min(to, f0_hz.size()); ++i)
    if (f0_hz[i] > 0) values.push_back(f0_hz[i]);
  return values;
}

F0Track track_f0(const Sound& sound, const std::string& tracker, double least_confidence, int lag_frames) {
  const bool is_aubio = tracker.starts_with("yin");
  const std::vector<double> f0_hz = is_aubio
                                        ? aubio_line(sound, tracker, least_confidence)
                                        : track_with_sptk(tracker == "RAPT" ? Sptk::rapt : Sptk::swipe, sound.samples,
                                                          sound.rate_hz, lowest_sung_hz, highest_sung_hz)
                                              .f0_hz;
  F0Track track{static_cast<double>(track_hop_samples) / sound.rate_hz, std::vector<double>(f0_hz.size(), 0.0)};
  const auto frames = static_cast<int>(f0_hz.size());
  for (int i = std::max(0, -lag_frames); i < std::min(frames, frames - lag_frames); ++i) {
    const double hz = f0_hz[static_cast<std::size_t>(i + lag_frames)];
    if (hz >= lowest_sung_hz && hz <= highest_sung_hz) track.f0_hz[static_cast<std::size_t>(i)] = hz;
  }
  return track;
}

Levels levels(const Sound& sound) {
  return {smooth_db(hop_powers(sound.samples), 1), smooth_db(hop_powers(above(high_hz, sound)), 2)};
}

double share_of(std::vector<double> values, double at) {
  const auto place = values.begin() + static_cast<std::ptrdiff_t>(at * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), place, values.end());
  return *place;
}

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

}  // namespace firmus::bench
