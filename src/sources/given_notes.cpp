#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "sources/sources.hpp"
#include "steady_pitch.hpp"
#include "stretches.hpp"

namespace firmus::sources {
namespace {

/// A stretch with what speaks for a struck string, as natural log odds.
struct Heard {
  Stretch stretch;
  double semitones = 0;  ///< from A4
  double by_sound = 0;   ///< of its fall and of how still its pitch is
  double by_tuning = 0;  ///< of its distance from the grid
  double struck() const { return by_sound + by_tuning; }
};

// Log odds of a struck string against a voice, a logistic regression. It was fitted on 1954 struck stretches (the sound
// font's pianos and guitars before the notes of simulated singers) against 12132 of voices, strings and winds (117
// annotated takes, simulated singers, the sound font), both in equal weight. Half of the struck are above 4.2, half of
// the others below -4.2; 5 % of the struck are below -0.4 and of the others above 0.5.
constexpr double intercept = 1.15, per_db_of_fall = 0.49, per_log_spread = -1.02, per_log_tilt = -1.32;
constexpr double most_fall_db = 12, least_fall_db = -2, least_spread_cents = 0.3, most_spread_cents = 60;
constexpr double least_tilt = 3, most_tilt = 300;  // cents/s
constexpr double most_log_odds = 4;                // no stretch is surer than that by its sound alone

double log_odds_by_sound(const Stretch& stretch, const SteadyPitch& pitch) {
  const double fall = std::clamp(stretch.fall_db, least_fall_db, most_fall_db);
  const double spread = std::clamp(pitch.spread_cents, least_spread_cents, most_spread_cents);
  const double tilt = std::clamp(std::abs(pitch.tilt_cents_per_s), least_tilt, most_tilt);
  return std::clamp(
      intercept + per_db_of_fall * fall + per_log_spread * std::log(spread) + per_log_tilt * std::log(tilt),
      -most_log_odds, most_log_odds);
}

// Strings of one instrument lie on its tuning within a few cents; a voice lies anywhere between two semitones.
constexpr double tuning_spread_cents = 4, least_by_tuning = -1.5;
constexpr double struck_at_all = -2;  // log odds from which a stretch has a say in where the grid lies
constexpr double fewest_for_a_grid = 2;

/// Where the grid of semitones lies that the likely struck stretches share: a share of a semitone; none where hardly
/// any is likely. The mean direction of their phases (Mardia & Jupp 1999), weighted by their probability.
std::optional<double> grid_of(const std::vector<Heard>& all) {
  double sine = 0, cosine = 0, weights = 0;
  for (const Heard& heard : all) {
    if (heard.by_sound <= struck_at_all) continue;
    const double weight = 1 / (1 + std::exp(-heard.by_sound)), phase = 2 * std::numbers::pi * heard.semitones;
    sine += weight * std::sin(phase), cosine += weight * std::cos(phase), weights += weight;
  }
  if (weights < fewest_for_a_grid) return std::nullopt;
  return std::atan2(sine, cosine) / (2 * std::numbers::pi);
}

void weigh_by_tuning(std::vector<Heard>& all, double grid) {
  const double at_best = std::log(100 / (tuning_spread_cents * std::sqrt(2 * std::numbers::pi)));
  for (Heard& heard : all) {
    const double away = heard.semitones - grid, off = 100 * (away - std::round(away)) / tuning_spread_cents;
    heard.by_tuning = std::max(least_by_tuning, at_best - off * off / 2);
  }
}

constexpr double same_semitones = 1.2;   // a beginner sings a given note as far off, in any octave
constexpr double longest_wait_s = 1.2;   // from the damper to the sung note
constexpr double same_log_odds = 1.4;    // the given pitch follows: 95 % of given notes, a fifth of all steps by chance
constexpr double other_log_odds = -2.8;  // it does not

bool answers(const Heard& given, const Heard& sung) {
  const double apart = sung.semitones - given.semitones;
  return std::abs(apart - 12 * std::round(apart / 12)) < same_semitones &&
         time_of_frame(sung.stretch.begin - given.stretch.damped) < longest_wait_s;
}

constexpr int fewest_answered = 5;

void weigh_sound(Heard& heard, const Samples& samples) {
  const SteadyPitch pitch = steady_pitch(samples, heard.stretch.loudest, heard.stretch.damped, heard.stretch.hz);
  heard.semitones = 12 * std::log2(pitch.hz / 440);
  heard.by_sound = log_odds_by_sound(heard.stretch, pitch);
}

/// The stretches with their sound weighed; empty where too few could be given. Those that the next one answers come
/// first: in most recordings they settle it, and the others need not be measured.
std::vector<Heard> heard_in(const Samples& samples, const std::vector<Stretch>& stretches) {
  std::vector<Heard> all;
  for (const Stretch& stretch : stretches) all.push_back({stretch, 12 * std::log2(stretch.hz / 440), 0, 0});
  std::vector<bool> is_answered(all.size());
  for (std::size_t i = 0; i + 1 < all.size(); ++i) is_answered[i] = answers(all[i], all[i + 1]);
  int could_be_given = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!is_answered[i]) continue;
    weigh_sound(all[i], samples);
    could_be_given += all[i].by_sound > struck_at_all ? 1 : 0;
  }
  if (could_be_given < fewest_answered) return {};
  for (std::size_t i = 0; i < all.size(); ++i)
    if (!is_answered[i]) weigh_sound(all[i], samples);
  return all;
}

/// Which stretches are given, and how much better that explains them than one source does.
struct Labelling {
  double gain_nats = 0;  ///< log likelihood ratio
  std::vector<bool> given;
};

constexpr double again_given = 0.1;  // probability of two given stretches in a row: one that is heard in two parts

/// The best sequence of given and sung stretches (Viterbi) where a share of the sung ones has a given one before it.
Labelling alternation(const std::vector<Heard>& all, double given_share) {
  const double to_given = std::log(given_share), to_sung = std::log(1 - given_share), again = std::log(again_given);
  std::vector<std::array<bool, 2>> from_given(all.size());  // for a sung and for a given stretch
  double sung = 0, given = to_given + all[0].struck();
  for (std::size_t i = 1; i < all.size(); ++i) {
    const double answer = answers(all[i - 1], all[i]) ? same_log_odds : other_log_odds;
    const double sung_after_sung = sung + to_sung, sung_after_given = given + answer;
    const double given_after_sung = sung + to_given, given_after_given = given + again + std::min(0.0, answer);
    from_given[i] = {sung_after_given > sung_after_sung, given_after_given > given_after_sung};
    sung = std::max(sung_after_sung, sung_after_given);
    given = all[i].struck() + std::max(given_after_sung, given_after_given);
  }
  Labelling labelling{std::max(sung, given), std::vector<bool>(all.size())};
  bool is_given = given > sung;
  for (std::size_t i = all.size(); i-- > 0;) {
    labelling.given[i] = is_given;
    is_given = from_given[i][is_given ? 1 : 0];
  }
  return labelling;
}

// In 36 of 36 recordings with a note given before each sung one the gain is over 60; in 117 annotated takes and 192
// of voices, strings, winds and plucked strings alone it is 3 at most.
constexpr double least_gain_nats = 15;
constexpr double least_answered = 0.6;  // share of the given notes
// Each note is given, or one in five: at the beginning of phrases.
constexpr std::array<double, 2> given_shares = {0.75, 0.2};

/// The given stretches; none where one source explains the recording as well.
std::vector<bool> given_in(const std::vector<Heard>& all) {
  Labelling best = alternation(all, given_shares[0]);
  if (Labelling other = alternation(all, given_shares[1]); other.gain_nats > best.gain_nats) best = std::move(other);
  double all_struck = 0;  // the student plays a struck or plucked instrument
  for (const Heard& heard : all) all_struck += heard.struck();
  int given = 0, answered = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const bool goes_on = i + 1 < all.size() && best.given[i + 1];
    if (!best.given[i] || goes_on) continue;  // a note that is heard in two parts is one
    ++given;
    answered += i + 1 < all.size() && answers(all[i], all[i + 1]) ? 1 : 0;
  }
  const bool is_sure = best.gain_nats - std::max(0.0, all_struck) >= least_gain_nats && answered >= fewest_answered &&
                       answered >= least_answered * given;
  return is_sure ? best.given : std::vector<bool>(all.size());
}

constexpr std::size_t before_stroke = 12;  // frames, 60 ms: its noise sounds before its pitch is found
constexpr std::size_t after_damper = 12;
constexpr std::size_t consonant = 20;  // 100 ms: belongs to the note that follows
constexpr float no_event = -8;         // log odds of an onset or an end, at most

}  // namespace
}  // namespace firmus::sources

namespace firmus {

std::vector<GivenNote> find_given_notes(const Samples& samples, const Evidence& evidence, const CoarseF0Track& f0_track,
                                        const OnsetEvidence& onsets) {
  using namespace sources;
  std::vector<Heard> all = heard_in(samples, stretches_of(evidence, f0_track, onsets));
  const auto grid = grid_of(all);
  if (!grid) return {};
  weigh_by_tuning(all, *grid);
  const std::vector<bool> is_given = given_in(all);
  std::vector<GivenNote> given;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!is_given[i]) continue;
    const std::size_t earliest = i > 0 ? all[i - 1].stretch.end : 0;
    const std::size_t latest = i + 1 < all.size() ? all[i + 1].stretch.begin : evidence.frames();
    const std::size_t end = all[i].stretch.end;
    // What is left between the damper and the next note's consonant is the string's, too.
    const GivenNote note{std::max(earliest, all[i].stretch.begin - std::min(before_stroke, all[i].stretch.begin)),
                         std::max(end, std::min(end + after_damper, latest - std::min(consonant, latest)))};
    if (i > 0 && is_given[i - 1])
      given.back().end = note.end;
    else
      given.push_back(note);
  }
  return given;
}

void leave_out(const std::vector<GivenNote>& given, CoarseF0Track& f0_track, OnsetEvidence& onsets) {
  for (const GivenNote& note : given)
    for (std::size_t i = note.begin; i < note.end; ++i) {
      f0_track.f0_hz[i] = f0_track.nsdf_peak[i] = 0;
      onsets.onset_logit[i] = std::min(onsets.onset_logit[i], sources::no_event);
      onsets.offset_logit[i] = std::min(onsets.offset_logit[i], sources::no_event);
    }
}

RecordingWarning given_notes_warning(const std::vector<GivenNote>& given) {
  return {RecordingFault::given_notes,
          fmt::format("an instrument plays {} of the notes before they are sung; these were left out", given.size()),
          "if a note looks wrong, record again without the instrument"};
}

}  // namespace firmus
