#include "note_centre.hpp"

#include <cmath>

#include "middle.hpp"
#include "short_vibrato.hpp"
#include "standard_error.hpp"
#include "steady_part.hpp"
#include "swing.hpp"

namespace firmus::measure {
namespace {

constexpr double short_note_s = 0.35;      ///< under two cycles of vibrato a fit is not to be trusted
constexpr double unseen_vibrato_s = 0.45;  ///< in a longer part vibrato that matters is seen
/// A short note whose mean a vibrato unseen could move by so much is averaged over all of its steady part.
constexpr double suspected_vibrato_cents = 2;
/// What a fitted vibrato leaves moves the median too, and a swing's mean is not its median (coverage tests; voices with
/// exact truth, seeds 11 and 12).
constexpr double vibrato_doubt = 1.5, swing_doubt = 1;
/// A swing that is no sine (the loop of a sampled instrument) is taken off in part only: by how much the median moves
/// with it, the centre is in doubt (instruments of a sound font and voices, seeds 11 and 12).
constexpr double form_doubt = 0.7;

std::vector<double> without_vibrato(const NoteSeries& series, const std::optional<VibratoFit>& vibrato) {
  std::vector<double> still = series.cents;
  if (vibrato)
    for (std::size_t i = 0; i < still.size(); ++i) still[i] -= vibrato->at(series.time_s[i]);
  return still;
}

Part inside_of(const NoteSeries& series) {
  const std::size_t cut = series.size() / 6;
  return {cut, series.size() - cut};
}

/// From the fit over whole cycles where there are some, else weighed.
VibratoMean vibrato_in_mean(const NoteSeries& series, Part part, const std::optional<VibratoFit>& vibrato) {
  const double length_s = series.time_s[part.to - 1] - series.time_s[part.from];
  if (vibrato && length_s >= short_note_s) return vibrato_mean(*vibrato, series, part);
  return length_s < unseen_vibrato_s ? weigh_short_vibrato(series, part) : VibratoMean{};
}

/// The median of the middle in place of the mean, unless a vibrato unseen in a short note could move it.
void take_middle(NoteCentre& centre, const NoteSeries& series, const VibratoMean& vibrato, double onset_s,
                 double end_s) {
  std::vector<double>& still = centre.still_cents;
  // All of it: a median bears what a glide leaves in the middle, and in short notes most of the middle may look like
  // one.
  const Part all{0, series.size()};
  const Swing moving = find_swing(series, still, centre.part, middle_of(series, centre.part, onset_s, end_s));
  const auto unmoved = moving.cents.empty() ? std::nullopt : middle_centre(series, still, all, onset_s, end_s);
  for (std::size_t i = 0; i < moving.cents.size(); ++i) still[i] -= moving.cents[i];
  const auto middle = middle_centre(series, still, all, onset_s, end_s);
  if (!middle || (!centre.vibrato && vibrato.se_cents >= suspected_vibrato_cents)) return;
  const bool fit_is_all = centre.vibrato && moving.cents.empty();
  const double fit_se = fit_is_all ? std::hypot(vibrato_doubt * middle->se_cents, vibrato.se_cents) : middle->se_cents;
  centre.cents = middle->cents;
  const double form_se = unmoved ? form_doubt * (unmoved->cents - middle->cents) : 0;
  centre.se_cents = std::hypot(fit_se, swing_doubt * moving.mean_se_cents, form_se);
}

}  // namespace

double mean_over(const std::vector<double>& values, Part part) {
  double sum = 0;
  for (std::size_t i = part.from; i < part.to; ++i) sum += values[i];
  return sum / static_cast<double>(part.size());
}

NoteCentre find_note_centre(const NoteSeries& series, double onset_s, double end_s) {
  NoteCentre centre;
  auto& vibrato = centre.vibrato;
  auto& still = centre.still_cents;
  vibrato = fit_vibrato(series, inside_of(series));
  still = without_vibrato(series, vibrato);
  SteadyPart steady = find_steady_part(series, still);
  for (int round = 0; round < 2; ++round) {
    vibrato = fit_vibrato(series, steady.part);
    still = without_vibrato(series, vibrato);
    if (round == 0) steady = find_steady_part(series, still);
  }
  centre.part = steady.part;
  const VibratoMean swing = vibrato_in_mean(series, centre.part, vibrato);
  centre.cents = mean_over(series.cents, centre.part) - swing.cents;
  centre.se_cents = std::hypot(standard_error(still, steady), swing.se_cents);
  take_middle(centre, series, swing, onset_s, heard_end(series, end_s));
  return centre;
}

}  // namespace firmus::measure
