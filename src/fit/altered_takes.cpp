#include "altered_takes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace firmus::fit {
namespace {

constexpr double rate = Samples::rate_hz;

double uniform(std::mt19937& random, double from, double to) {
  // std::uniform_real_distribution differs between libraries; this does not.
  return from + (to - from) * static_cast<double>(random()) / 4294967296.0;
}

double normal(std::mt19937& random) {
  const double radius = std::sqrt(-2 * std::log(1 - uniform(random, 0, 1)));
  return radius * std::cos(2 * std::numbers::pi * uniform(random, 0, 1));
}

bool coin(std::mt19937& random) {
  return uniform(random, 0, 1) < 0.5;
}

std::vector<float> all_of(const Samples& samples) {
  std::vector<float> values(static_cast<std::size_t>(samples.size()));
  samples.read(0, values);
  return values;
}

/// RMS level of the loud part: 95th percentile over 50 ms blocks.
double loud_rms(const std::vector<float>& values) {
  constexpr std::size_t piece = 800;
  std::vector<double> powers;
  for (std::size_t at = 0; at + piece <= values.size(); at += piece) {
    double sum = 0;
    for (std::size_t i = at; i < at + piece; ++i) sum += static_cast<double>(values[i]) * values[i];
    powers.push_back(sum / piece);
  }
  if (powers.empty()) return 0;
  const auto place = powers.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(powers.size() - 1));
  std::ranges::nth_element(powers, place);
  return std::sqrt(*place);
}

/// One-pole low-pass, its corner in Hz.
class LowPass {
 public:
  explicit LowPass(double corner_hz) : keep_(std::exp(-2 * std::numbers::pi * corner_hz / rate)) {}
  double operator()(double x) { return state_ = x + keep_ * (state_ - x); }

 private:
  double keep_, state_ = 0;
};

void equalise(std::vector<float>& values, std::mt19937& random) {
  for (int shelf = 0; shelf < 2; ++shelf) {
    LowPass low(300 * std::pow(10, uniform(random, 0, 1)));
    const double gain = std::pow(10, uniform(random, -10, 6) / 20);
    for (float& value : values) {
      const double under = low(value);
      value = static_cast<float>(gain * under + (value - under));
    }
  }
}

/// y[n] = x[n - length] + feedback y[n - length].
class Comb {
 public:
  Comb(double delay_s, double decay_s)
      : line_(static_cast<std::size_t>(delay_s * rate)), feedback_(std::pow(10, -3 * delay_s / decay_s)) {}
  double operator()(double x) {
    const double out = line_[at_];
    line_[at_] = x + feedback_ * out;
    at_ = (at_ + 1) % line_.size();
    return out;
  }

 private:
  std::vector<double> line_;
  double feedback_;
  std::size_t at_ = 0;
};

class AllPass {
 public:
  explicit AllPass(double delay_s) : line_(static_cast<std::size_t>(delay_s * rate)) {}
  double operator()(double x) {
    const double out = line_[at_] - gain * x;
    line_[at_] = x + gain * out;
    at_ = (at_ + 1) % line_.size();
    return out;
  }

 private:
  static constexpr double gain = 0.7;
  std::vector<double> line_;
  std::size_t at_ = 0;
};

void reverberate(std::vector<float>& values, std::mt19937& random) {
  const double decay_s = uniform(random, 0.3, 1.2), wet = std::pow(10, uniform(random, -18, -4) / 20);
  std::array<Comb, 4> combs{Comb(uniform(random, 0.029, 0.032), decay_s), Comb(uniform(random, 0.034, 0.038), decay_s),
                            Comb(uniform(random, 0.039, 0.042), decay_s), Comb(uniform(random, 0.043, 0.047), decay_s)};
  std::array<AllPass, 2> spread{AllPass(0.005), AllPass(0.0017)};
  for (float& value : values) {
    double echo = 0;
    for (Comb& comb : combs) echo += comb(value);
    value = static_cast<float>(value + wet * spread[1](spread[0](echo)));
  }
}

void clip(std::vector<float>& values, std::mt19937& random) {
  const auto limit = static_cast<float>(loud_rms(values) * uniform(random, 0.8, 1.6));
  for (float& value : values) value = std::clamp(value, -limit, limit);
}

struct Instrument {
  std::array<double, 24> partial{};
  double attack_s = 0, release_s = 0, decay_per_s = 0, vibrato_hz = 0, vibrato_cents = 0, brightens_s = 0;
};

Instrument invent(std::mt19937& random) {
  Instrument made;
  const double slope_db = uniform(random, 3, 14), even = coin(random) ? 1 : uniform(random, 0.1, 1);
  for (std::size_t k = 0; k < made.partial.size(); ++k)
    made.partial[k] = std::pow(static_cast<double>(k + 1), -slope_db / 6.02) * (k % 2 == 1 ? even : 1) *
                      std::pow(10, uniform(random, -5, 5) / 20);
  made.attack_s = 0.005 * std::pow(20, uniform(random, 0, 1));
  made.release_s = 0.02 * std::pow(10, uniform(random, 0, 1));
  made.decay_per_s = coin(random) ? 0 : uniform(random, 0.5, 4);
  made.vibrato_hz = uniform(random, 4.5, 7);
  made.vibrato_cents = coin(random) ? 0 : uniform(random, 5, 60);
  made.brightens_s = coin(random) ? 0 : uniform(random, 0.01, 0.08);
  return made;
}

/// Adds one tone; its phase continues from `phase`, so that tied notes do not click.
void play(const Instrument& with, const AnnotatedNote& note, bool tied, double& phase, std::vector<float>& values) {
  const double f0_hz = 440 * std::exp2((note.sung_midi - 69) / 12);
  const double length_s = note.offset_s - note.onset_s;
  const auto begin = static_cast<std::size_t>(std::max(0.0, note.onset_s * rate));
  const auto end = std::min(values.size(), static_cast<std::size_t>((note.offset_s + with.release_s) * rate));
  for (std::size_t i = begin; i < end; ++i) {
    const double t_s = static_cast<double>(i - begin) / rate;
    const double cents = with.vibrato_cents * std::sin(2 * std::numbers::pi * with.vibrato_hz * t_s);
    phase += f0_hz * std::exp2(cents / 1200) / rate;
    double loud = std::exp(-with.decay_per_s * t_s) * std::min(1.0, t_s / with.attack_s + (tied ? 0.5 : 0));
    if (t_s > length_s) loud *= std::max(0.0, 1 - (t_s - length_s) / with.release_s);
    double sum = 0;
    for (std::size_t k = 0; k < with.partial.size(); ++k) {
      const auto number = static_cast<double>(k + 1);
      if (number * f0_hz > 0.45 * rate) break;
      const double arrives = with.brightens_s > 0 ? std::min(1.0, t_s / (with.brightens_s * number / 4) + 0.1) : 1;
      sum += with.partial[k] * arrives * std::sin(2 * std::numbers::pi * number * phase);
    }
    values[i] += static_cast<float>(0.2 * loud * sum);
  }
}

}  // namespace

Lesson in_noise(const Lesson& take, std::mt19937& random) {
  std::vector<float> values = all_of(take.samples);
  const double level = loud_rms(values) * std::pow(10, -uniform(random, 5, 25) / 20);
  LowPass low(4000);
  const bool cut = coin(random);
  for (float& value : values) {
    const double noise = level * normal(random);
    value += static_cast<float>(cut ? low(noise) : noise);
  }
  return {Samples(std::move(values)), take.notes, take.speed};
}

Lesson at_other_speed(const Lesson& take, std::mt19937& random) {
  constexpr int steps = 40;  // speeds are multiples of 1/40, so that the resampling ratio has small terms
  const double speed = std::round(std::exp2(uniform(random, -1, 1)) * steps) / steps;
  const auto as_if_at_hz = static_cast<int>(std::lround(rate * speed));
  std::vector<float> values = all_of(recording_from_samples("", all_of(take.samples), 1, as_if_at_hz).samples);
  equalise(values, random);
  Lesson made{Samples(std::move(values)), take.notes, take.speed * speed};
  for (AnnotatedNote& note : made.notes)
    note = {note.onset_s / speed, note.offset_s / speed, note.sung_midi + 12 * std::log2(speed)};
  return made;
}

Lesson in_a_room_or_clipped(const Lesson& take, std::mt19937& random) {
  std::vector<float> values = all_of(take.samples);
  if (coin(random)) {
    reverberate(values, random);
  } else {
    clip(values, random);
  }
  return {Samples(std::move(values)), take.notes, take.speed};
}

Lesson on_an_instrument(const Lesson& take, std::mt19937& random) {
  const Instrument with = invent(random);
  const double shift = std::round(uniform(random, -12, 12));
  const bool ties = coin(random);
  Lesson made{Samples(), take.notes, take.speed * std::exp2(shift / 12)};
  std::vector<float> values(static_cast<std::size_t>(take.samples.size()), 0.0F);
  double phase = 0;
  for (std::size_t i = 0; i < made.notes.size(); ++i) {
    AnnotatedNote& note = made.notes[i];
    note.sung_midi += shift;
    const bool touches = i > 0 && note.onset_s - made.notes[i - 1].offset_s < 0.08;
    if (ties && i + 1 < made.notes.size() && made.notes[i + 1].onset_s - note.offset_s < 0.08)
      note.offset_s = made.notes[i + 1].onset_s;
    play(with, note, ties && touches, phase, values);
  }
  const double hiss = 0.2 * std::pow(10, -uniform(random, 35, 70) / 20);
  for (float& value : values) value += static_cast<float>(hiss * normal(random));
  made.samples = Samples(std::move(values));
  return made;
}

}  // namespace firmus::fit
