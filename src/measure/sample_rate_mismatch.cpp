// A file with a wrong sample rate in its header shifts every note by one known ratio.
#include <array>
#include <cmath>
#include <string>

#include "base/statistics.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {
namespace {

struct RateRatio {
  double cents;
  const char* rates;
};
/// 1200 log2 of 44.1/48 and 32/44.1, both ways (22.05/24 and 16/22.05 are the same). 32/48 is a fifth, which is a
/// possible transposition.
constexpr std::array<RateRatio, 4> rate_ratios{{{-146.706, "44.1 and 48 kHz"},
                                                {146.706, "44.1 and 48 kHz"},
                                                {-555.290, "32 and 44.1 kHz"},
                                                {555.290, "32 and 44.1 kHz"}}};
constexpr double ratio_tolerance_cents =
    6;  ///< concert pitch itself may be 2 cents off (ISO 16), an instrument a little more
constexpr double largest_sigma_cents = 12;  ///< singers: 20 and more (Mauch, Frieler & Dixon 2014)
constexpr std::size_t fewest_notes_alike = 12;

}  // namespace
}  // namespace firmus::measure

namespace firmus {

std::optional<RecordingWarning> detect_sample_rate_mismatch(const TuningCurve& curve) {
  using namespace measure;
  if (curve.errors.size() < fewest_notes_alike || curve.key_segments.size() != 1 ||
      curve.key_segments[0].drift_significant)
    return std::nullopt;
  std::vector<double> own;
  for (const NoteErrors& error : curve.errors) own.push_back(error.own_cents.value_or(0));
  if (mad_sigma(own, 0) > largest_sigma_cents) return std::nullopt;
  const double off = curve.centre_cents + 100.0 * (curve.transposition_semitones - curve.octave_semitones);
  for (const RateRatio& ratio : rate_ratios) {
    if (std::abs(off - ratio.cents) > ratio_tolerance_cents) continue;
    const std::string cents = std::to_string(std::lround(std::abs(off)));
    return RecordingWarning{
        RecordingFault::sample_rate,
        "every note is " + cents + " cents " + (off < 0 ? "low" : "high") + ", alike: the ratio of " + ratio.rates,
        "It could be a wrong sample rate in the file; if so, export the recording again."};
  }
  return std::nullopt;
}

}  // namespace firmus
