// Control track -> the dry voice: harmonics through formants, aspiration, consonant noise.
#include <algorithm>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

constexpr double highest_harmonic_hz = 6000;
constexpr int samples_per_frame = rate_hz / control_rate_hz;
constexpr std::array<double, formant_count> bandwidth_hz = {80, 90, 130, 180, 250};

double resonance(double hz, double centre_hz, double width_hz) {
  const double square = centre_hz * centre_hz;
  const double apart = square - hz * hz;
  return square / std::sqrt(apart * apart + width_hz * width_hz * hz * hz);
}

// Gains of the harmonics, scaled to the frame's amplitude as their RMS. The source falls 12 dB an octave, the radiation
// at the lips gives 6 back (Fant, Acoustic Theory of Speech Production, 1960).
std::vector<double> harmonic_gains(const ControlFrame& frame) {
  if (frame.amplitude <= 0 || frame.f0_hz <= 0) return {};
  const auto count = static_cast<std::size_t>(highest_harmonic_hz / frame.f0_hz);
  std::vector<double> gains(count);
  double power = 0;
  for (std::size_t k = 0; k < count; ++k) {
    const double number = static_cast<double>(k + 1);
    double gain = std::pow(number, -1 - frame.muffle_db_per_octave / 6.02);
    for (std::size_t i = 0; i < formant_count; ++i)
      gain *= resonance(number * frame.f0_hz, frame.formant_hz[i], bandwidth_hz[i]);
    gains[k] = gain;
    power += 0.5 * gain * gain;
  }
  for (double& gain : gains) gain *= frame.amplitude / std::sqrt(power);
  return gains;
}

// sum of gains[k] sin((k + 1) phase), by sin((k + 1) x) = 2 cos x sin(k x) - sin((k - 1) x), between two sets of gains.
double harmonic_sum(double phase, const std::vector<double>& from, const std::vector<double>& to, double share) {
  const double twice_cos = 2 * std::cos(phase);
  double before = 0, now = std::sin(phase), sum = 0;
  const std::size_t count = std::max(from.size(), to.size());
  for (std::size_t k = 0; k < count; ++k) {
    const double a = k < from.size() ? from[k] : 0;
    const double b = k < to.size() ? to[k] : 0;
    sum += (a + (b - a) * share) * now;
    const double next = twice_cos * now - before;
    before = now;
    now = next;
  }
  return sum;
}

// Second-order band-pass, 0 dB at its centre (R. Bristow-Johnson, Audio EQ Cookbook).
class BandPass {
 public:
  BandPass(double centre_hz, double width_hz) {
    const double w = 2 * std::numbers::pi * std::min(centre_hz, 0.45 * rate_hz) / rate_hz;
    const double alpha = std::sin(w) * std::min(2.0, 0.5 * width_hz / centre_hz);
    gain_ = alpha / (1 + alpha);
    feedback1_ = -2 * std::cos(w) / (1 + alpha);
    feedback2_ = (1 - alpha) / (1 + alpha);
  }
  double operator()(double x) {
    const double y = gain_ * (x - x2_) - feedback1_ * y1_ - feedback2_ * y2_;
    x2_ = x1_;
    x1_ = x;
    y2_ = y1_;
    y1_ = y;
    return y;
  }

 private:
  double gain_ = 0, feedback1_ = 0, feedback2_ = 0;
  double x1_ = 0, x2_ = 0, y1_ = 0, y2_ = 0;
};

void add_burst(std::vector<double>& sound, const NoiseBurst& burst, Random& random) {
  const auto length = static_cast<std::size_t>(std::max(0.0, burst.length_s) * rate_hz);
  const double start = burst.from_s * rate_hz;
  if (length == 0 || start < 0) return;
  BandPass filter(burst.centre_hz, burst.bandwidth_hz);
  std::vector<double> noise(length);
  double power = 0;
  for (double& value : noise) {
    value = filter(random.normal());
    power += value * value;
  }
  const double scale = burst.amplitude / std::sqrt(power / static_cast<double>(length) + 1e-12);
  const auto first = static_cast<std::size_t>(start);
  for (std::size_t i = 0; i < length && first + i < sound.size(); ++i) {
    const double window = std::sin(std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(length));
    sound[first + i] += scale * window * noise[i];
  }
}

}  // namespace

std::vector<double> render_voice(const Score& score, const Plan& plan) {
  const std::size_t frames = score.frames.size();
  std::vector<double> sound(frames * samples_per_frame, 0.0);
  Random random(plan.seed, 21);
  BandPass breath(2200, 2600);
  const double breath_gain = std::pow(10, plan.voice.breath_db / 20) * 2;
  double phase = 0;
  std::vector<double> from = frames > 0 ? harmonic_gains(score.frames[0]) : std::vector<double>{};
  for (std::size_t f = 0; f + 1 < frames; ++f) {
    const ControlFrame& here = score.frames[f];
    const ControlFrame& there = score.frames[f + 1];
    const std::vector<double> to = harmonic_gains(there);
    const double hz_from = here.f0_hz > 0 ? here.f0_hz : there.f0_hz;
    const double hz_to = there.f0_hz > 0 ? there.f0_hz : hz_from;
    for (int s = 0; s < samples_per_frame; ++s) {
      const double share = static_cast<double>(s) / samples_per_frame;
      const double amplitude = here.amplitude + (there.amplitude - here.amplitude) * share;
      const double hiss = breath(random.normal());
      if (hz_from > 0) {
        phase += 2 * std::numbers::pi * (hz_from + (hz_to - hz_from) * share) / rate_hz;
        if (phase > 2 * std::numbers::pi) phase -= 2 * std::numbers::pi;
        const double aspiration = breath_gain * amplitude * (0.5 + 0.5 * std::cos(phase)) * hiss;
        sound[f * samples_per_frame + static_cast<std::size_t>(s)] = harmonic_sum(phase, from, to, share) + aspiration;
      }
    }
    from = to;
  }
  for (const NoiseBurst& burst : score.bursts) add_burst(sound, burst, random);
  return sound;
}

}  // namespace firmus::singer
