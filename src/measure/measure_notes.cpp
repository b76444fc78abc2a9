// All notes of a take: each by itself, then all again with the vibrato that the long ones show, if they show one.
#include <algorithm>
#include <cmath>

#include "base/statistics.hpp"
#include "measure/measure.hpp"
#include "measured_note.hpp"

namespace firmus::measure {
namespace {

/// A sine is known well from a note with so many cycles; with fewer, drift and a bend of the pitch look like it.
constexpr double known_cycles = 2.5;
/// Notes this long show whether the singer has a vibrato: known_cycles at 3.5 Hz.
constexpr double long_note_s = 0.7;
constexpr int fewest_long_notes = 4;
constexpr double least_share = 0.6;         ///< of the long notes, with vibrato
constexpr double largest_rate_sd_hz = 0.6;  ///< from note to note (Prame 1994: 0.4 Hz within a singer)
constexpr double least_rate_sd_hz = 0.15;
constexpr double least_usual_extent_cents = 12;  ///< smaller ones move no median by a cent

std::optional<UsualVibrato> usual_vibrato(std::span<const MeasuredNote> notes) {
  std::vector<double> rates_hz, extents_cents;
  int long_notes = 0;
  for (const MeasuredNote& note : notes) {
    if (note.steady_s < long_note_s) continue;
    ++long_notes;
    if (!note.vibrato || note.vibrato->rate_hz * note.steady_s < known_cycles) continue;
    rates_hz.push_back(note.vibrato->rate_hz);
    extents_cents.push_back(note.vibrato->extent_cents);
  }
  if (long_notes < fewest_long_notes || static_cast<double>(rates_hz.size()) < least_share * long_notes)
    return std::nullopt;
  UsualVibrato usual{median(rates_hz), 0, median(extents_cents)};
  usual.rate_sd_hz = std::max(least_rate_sd_hz, mad_sigma(rates_hz, usual.rate_hz));
  if (usual.rate_sd_hz > largest_rate_sd_hz || usual.extent_cents < least_usual_extent_cents) return std::nullopt;
  return usual;
}

}  // namespace
}  // namespace firmus::measure

namespace firmus {

std::vector<NotePitch> measure_notes(const Samples& samples, std::span<const float> refined_hz,
                                     std::span<const DecodedNote> notes, double reverberation_level) {
  using namespace measure;
  const auto measure_each = [&](const std::optional<UsualVibrato>& usual) {
    std::vector<MeasuredNote> measured;
    for (const DecodedNote& note : notes)
      measured.push_back(measure_with(samples, refined_hz, note.onset_s, note.end_s, reverberation_level, usual));
    return measured;
  };
  std::vector<MeasuredNote> measured = measure_each(std::nullopt);
  if (const std::optional<UsualVibrato> usual = usual_vibrato(measured)) measured = measure_each(usual);
  std::vector<NotePitch> pitches;
  for (MeasuredNote& note : measured) pitches.push_back(note.pitch);
  return pitches;
}

}  // namespace firmus
