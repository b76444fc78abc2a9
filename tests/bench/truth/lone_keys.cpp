#include "lone_keys.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <fstream>
#include <map>
#include <mutex>
#include <numbers>

#include "midi.hpp"
#include "sound_files.hpp"

namespace firmus::truth {

using namespace support;
namespace {

constexpr const char* sound_font = "/usr/share/sounds/sf2/TimGM6mb.sf2";
constexpr int rate_hz = 22050;
constexpr double lead_s = 0.25, length_s = 2.2;
constexpr double heard_under_loudest_db = 15;

/// Power in the harmonics of f0, in one window about `centre_s`.
class HarmonicPower {
 public:
  HarmonicPower(const std::vector<float>& sound, double centre_s, double f0_hz) {
    const auto count = static_cast<std::size_t>(std::max(0.06, 5 / f0_hz) * rate_hz);
    const auto first = static_cast<std::ptrdiff_t>(centre_s * rate_hz) - static_cast<std::ptrdiff_t>(count / 2);
    for (std::size_t i = 0; i < count; ++i) {
      const std::ptrdiff_t at = first + static_cast<std::ptrdiff_t>(i);
      const double hann =
          0.5 - 0.5 * std::cos(2 * std::numbers::pi * static_cast<double>(i) / static_cast<double>(count));
      const bool inside = at >= 0 && at < static_cast<std::ptrdiff_t>(sound.size());
      window_.push_back(inside ? hann * sound[static_cast<std::size_t>(at)] : 0);
    }
    harmonics_ = std::clamp(static_cast<int>(6000 / f0_hz), 1, 10);
  }
  double operator()(double f0_hz) const {
    double power = 0;
    for (int k = 1; k <= harmonics_; ++k) {
      const std::complex<double> step = std::polar(1.0, -2 * std::numbers::pi * k * f0_hz / rate_hz);
      std::complex<double> turn = 1, sum = 0;
      for (const double value : window_) {
        sum += value * turn;
        turn *= step;
      }
      power += std::norm(sum);
    }
    return power;
  }

 private:
  std::vector<double> window_;
  int harmonics_ = 1;
};

double moved(double hz, double cents) {
  return hz * std::exp2(cents / 1200);
}

/// The best f0 within `reach_cents` of a guess, searched in steps of `step_cents` and refined by a parabola.
double best_f0(const HarmonicPower& power, double guess_hz, double reach_cents, double step_cents) {
  double best_cents = 0, best = -1;
  for (double cents = -reach_cents; cents <= reach_cents + 1e-9; cents += step_cents) {
    const double here = power(moved(guess_hz, cents));
    if (here <= best) continue;
    best = here;
    best_cents = cents;
  }
  const double before = power(moved(guess_hz, best_cents - step_cents)),
               after = power(moved(guess_hz, best_cents + step_cents));
  const double bend = before - 2 * best + after;
  const double shift = bend < 0 ? std::clamp(0.5 * (before - after) / bend, -1.0, 1.0) : 0;
  return moved(guess_hz, best_cents + shift * step_cents);
}

std::vector<double> f0_of_key(const std::vector<float>& sound, int key) {
  const double written_hz = moved(440, 100.0 * (key - 69));
  const auto frames = static_cast<std::size_t>(length_s / lone_key_hop_s);
  const HarmonicPower middle(sound, lead_s + length_s / 2, written_hz);
  double now_hz = best_f0(middle, best_f0(middle, written_hz, 60, 5), 4, 1);
  std::vector<double> f0_hz(frames, now_hz);
  for (std::size_t i = 0; i < frames; ++i) {
    const HarmonicPower power(sound, lead_s + static_cast<double>(i) * lone_key_hop_s, written_hz);
    now_hz = best_f0(power, now_hz, 20, 4);
    f0_hz[i] = best_f0(power, now_hz, 1, 1);
  }
  return f0_hz;
}

constexpr std::size_t block = rate_hz / 100, block_hop = block / 10;

/// Power in windows of 10 ms, one window a millisecond, over `seconds`.
std::vector<double> powers_of(const std::vector<float>& sound, double from_s, double seconds) {
  std::vector<double> powers;
  const auto first = static_cast<std::size_t>(from_s * rate_hz), count = static_cast<std::size_t>(seconds * rate_hz);
  for (std::size_t at = first; at + block < sound.size() && at < first + count; at += block_hop) {
    double power = 0;
    for (std::size_t i = 0; i < block; ++i) power += static_cast<double>(sound[at + i]) * sound[at + i];
    powers.push_back(power);
  }
  return powers;
}

double middle_of_block_s(std::ptrdiff_t blocks) {
  return (static_cast<double>(blocks) * block_hop + block / 2.0) / rate_hz;
}

double attack_of_key(const std::vector<float>& sound) {
  const std::vector<double> powers = powers_of(sound, lead_s, 1);
  const double least = *std::ranges::max_element(powers) * std::pow(10, -heard_under_loudest_db / 10);
  const auto heard = std::ranges::find_if(powers, [&](double power) { return power >= least; });
  return middle_of_block_s(heard - powers.begin());
}

double release_of_key(const std::vector<float>& sound) {
  const std::vector<double> powers = powers_of(sound, lead_s + length_s, 0.6);
  if (powers.empty()) return 0;
  const double least = powers.front() * std::pow(10, -heard_under_loudest_db / 10);
  const auto gone = std::ranges::find_if(powers, [&](double power) { return power < least; });
  return middle_of_block_s(gone - powers.begin());
}

LoneKey measure_key(int program, int key) {
  const midi::Note note{key, 0, static_cast<int>(lead_s * midi::ticks_per_second),
                        static_cast<int>(length_s * midi::ticks_per_second)};
  const std::vector<float> sound = render_midi(midi::file_of(program, {note}), rate_hz);
  return {attack_of_key(sound), release_of_key(sound), f0_of_key(sound, key)};
}

}  // namespace

std::vector<float> render_midi(const std::string& bytes, int rate) {
  const ScratchFolder scratch;
  std::ofstream(scratch.file("notes.mid"), std::ios::binary) << bytes;
  run(fmt::format(
      "fluidsynth -n -i -q -r {} -g 0.6 -o synth.reverb.active=0 -o synth.chorus.active=0 -F '{}' '{}' '{}'", rate,
      scratch.file("notes.wav"), sound_font, scratch.file("notes.mid")));
  return read_sound(scratch.file("notes.wav")).samples;
}

const LoneKey& lone_key(int program, int key) {
  static std::mutex mutex;
  static std::map<std::pair<int, int>, LoneKey> known;
  {
    const std::lock_guard lock(mutex);
    const auto found = known.find({program, key});
    if (found != known.end()) return found->second;
  }
  LoneKey measured = measure_key(program, key);
  const std::lock_guard lock(mutex);
  return known.emplace(std::pair{program, key}, std::move(measured)).first->second;
}

}  // namespace firmus::truth
