#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "firmus/theory.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {
namespace {

constexpr int octave_cents = 1200;
constexpr double near_cents = 20;       ///< scale of a note's distance from the grid: usual errors of tuned singers
constexpr double cost_of_any_note = 3;  ///< from 49 cents on a note fits nowhere
/// Singers drift by 11 cents in 50 s (median; Mauch, Frieler & Dixon 2014), by 60 in a take at the worst.
constexpr double usual_drift_cents = 50, most_drift_cents = 120;
constexpr std::size_t fewest_for_drift = 8;
constexpr double near_centre_cents = 60;     ///< a transposition of 0 is kept up to here, as in fit_tuning_curve
constexpr double cost_of_transposition = 1;  ///< and as much again for each 2 semitones
constexpr double coarse_step_cents = 6;
constexpr std::size_t most_notes_searched = 1000;  ///< of longer takes every k-th: bounds the time
/// n R^2 of R, the mean resultant length of n phases on the grid (Rayleigh's test). 95 of 100 takes with notes anywhere
/// stay below, centre and drift fitted (simulated for 8 to 120 notes).
constexpr double least_rayleigh = 5;

double wrapped(double cents) {
  const double rest = std::fmod(cents, octave_cents);
  return rest < 0 ? rest + octave_cents : rest;
}

/// Distances from the nearest pitch of the grid, by cent, and what they cost.
class GridCosts {
 public:
  explicit GridCosts(const PitchGrid& grid) {
    for (int cent = 0; cent < octave_cents; ++cent) {
      double least = octave_cents;
      for (const double pitch : grid) {
        const double apart = wrapped(cent - pitch);
        least = std::min(least, std::min(apart, octave_cents - apart));
      }
      distance_[static_cast<std::size_t>(cent)] = least;
      cost_[static_cast<std::size_t>(cent)] = std::min(least * least / (2 * near_cents * near_cents), cost_of_any_note);
    }
  }
  double cost(double cents) const { return cost_[index(cents)]; }
  double distance(double cents) const { return distance_[index(cents)]; }

 private:
  static std::size_t index(double cents) { return static_cast<std::size_t>(wrapped(cents)) % octave_cents; }
  std::array<double, octave_cents> distance_{}, cost_{};
};

struct Line {
  double centre_cents = 0, drift_cents = 0;  ///< over the whole take
};

double prior_cost(const Line& line) {
  const double drift = line.drift_cents / usual_drift_cents, away = std::abs(line.centre_cents);
  return drift * drift / 2 + (away > near_centre_cents ? cost_of_transposition * (1 + (away - 100) / 200) : 0);
}

class GridSearch {
 public:
  GridSearch(std::span<const GridNote> notes, const PitchGrid& grid) : costs_(grid) {
    const std::size_t step = 1 + notes.size() / most_notes_searched;
    const double from_s = notes.front().time_s, length_s = std::max(notes.back().time_s - from_s, 1e-9);
    for (std::size_t i = 0; i < notes.size(); i += step) {
      cents_.push_back(notes[i].cents);
      part_.push_back((notes[i].time_s - from_s) / length_s - 0.5);
    }
    if (notes.size() >= fewest_for_drift) most_drift_ = most_drift_cents;
  }

  Line best(double most_centre_cents) const {
    Line found = search({0, 0}, most_centre_cents, most_drift_, coarse_step_cents, most_centre_cents);
    for (const double step : {2.0, 0.5})
      found = search(found, 4 * step, most_drift_ > 0 ? 6 * step : 0, step, most_centre_cents);
    return found;
  }

  double mean_resultant_length(const Line& line) const {
    double sum = 0;
    for (std::size_t i = 0; i < cents_.size(); ++i)
      sum += std::cos(2 * std::numbers::pi * costs_.distance(at(line, i)) / 100);
    return sum / static_cast<double>(cents_.size());
  }

 private:
  double at(const Line& line, std::size_t i) const {
    return cents_[i] - line.centre_cents - line.drift_cents * part_[i];
  }

  double cost(const Line& line) const {
    double sum = prior_cost(line);
    for (std::size_t i = 0; i < cents_.size(); ++i) sum += costs_.cost(at(line, i));
    return sum;
  }

  /// The best of a square around a line; of equal ones that with the least centre.
  Line search(const Line& around, double centre_reach, double drift_reach, double step, double most_centre) const {
    Line best = around;
    double least = cost(around);
    const auto consider = [&](const Line& line) {
      if (std::abs(line.centre_cents) > most_centre || std::abs(line.drift_cents) > most_drift_) return;
      if (const double found = cost(line); found < least) least = found, best = line;
    };
    for (double centre = 0; centre <= centre_reach; centre += step)
      for (double drift = 0; drift <= drift_reach; drift += step)
        for (const double sign : {1.0, -1.0})
          for (const double drift_sign : {1.0, -1.0})
            consider({around.centre_cents + sign * centre, around.drift_cents + drift_sign * drift});
    return best;
  }

  GridCosts costs_;
  std::vector<double> cents_, part_;
  double most_drift_ = 0;
};

}  // namespace
}  // namespace firmus::measure

namespace firmus {

double cents_above_c0(Hertz frequency, Hertz a4) {
  constexpr int midi_of_c0 = 12;
  return 100 * (midi_from_hz(frequency, a4) - midi_of_c0);
}

GridFit fit_pitch_grid(std::span<const GridNote> notes, const PitchGrid& grid, double most_centre_cents) {
  GridFit fit;
  if (notes.empty()) return fit;
  const measure::GridSearch search(notes, grid);
  const measure::Line line = search.best(most_centre_cents);
  const double length_s = notes.back().time_s - notes.front().time_s;
  fit.middle_s = (notes.front().time_s + notes.back().time_s) / 2;
  fit.centre_cents = line.centre_cents;
  if (length_s > 0) fit.drift_cents_per_s = line.drift_cents / length_s;
  const double resultant = search.mean_resultant_length(line);
  fit.clear = resultant > 0 && static_cast<double>(notes.size()) * resultant * resultant >= measure::least_rayleigh;
  return fit;
}

}  // namespace firmus
