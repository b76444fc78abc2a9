#include "pitch_change_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "interval_words.hpp"
#include "report/words.hpp"

namespace firmus::report {
namespace {

constexpr double whole_semitones_cents = 35;  // a step further from whole semitones is told in cents
constexpr double alike_cents = 50;            // steps that differ by less are told as one

/// "up a semitone", "down 70 cents", "up a tone and down an octave"
std::string step_in_words(double cents) {
  const int semitones = static_cast<int>(std::lround(cents / 100));
  const char* way = cents < 0 ? "down " : "up ";
  if (semitones == 0 || std::fabs(cents - 100.0 * semitones) > whole_semitones_cents)
    return way + counted(static_cast<int>(std::lround(std::fabs(cents))), "cent");
  return moved_in_words(semitones);
}

/// Whether all steps go the same way, by about as much.
bool are_alike(const std::vector<PitchChange>& steps) {
  return std::all_of(steps.begin(), steps.end(), [&](const PitchChange& step) {
    return step.cents * steps.front().cents > 0 && std::fabs(step.cents - steps.front().cents) < alike_cents;
  });
}

std::string steps_in_words(const std::vector<PitchChange>& steps, const PlaceOfNote& place, SaidTo said_to) {
  const char* went = said_to == SaidTo::singer ? "You went" : "Went";
  std::vector<std::string> places, parts;
  double sum = 0;
  for (const PitchChange& step : steps) {
    places.push_back(place(step.from_index));
    parts.push_back(step_in_words(step.cents) + " at " + places.back());
    sum += step.cents;
  }
  if (steps.size() < 2 || !are_alike(steps)) return fmt::format("{} {}.", went, fmt::join(parts, ", then "));
  const bool phrases = std::all_of(steps.begin(), steps.end(), [](const PitchChange& s) { return s.begins_phrase; });
  return fmt::format("{} {} {}: at {}.", went, step_in_words(sum / static_cast<double>(steps.size())),
                     phrases ? "from phrase to phrase" : "again and again", listed(places));
}

}  // namespace

std::vector<std::string> pitch_changes_in_words(std::span<const PitchChange> changes, const PlaceOfNote& place,
                                                SaidTo said_to) {
  std::vector<PitchChange> steps;
  std::vector<std::string> sentences;
  for (const PitchChange& change : changes)
    if (change.kind == PitchChange::Kind::step) steps.push_back(change);
  if (!steps.empty()) sentences.push_back(steps_in_words(steps, place, said_to));
  for (const PitchChange& change : changes) {
    if (change.kind != PitchChange::Kind::drift) continue;
    const std::string where =
        steps.empty() ? "from start to end" : "from " + place(change.from_index) + " to " + place(change.to_index);
    sentences.push_back(fmt::format("{} pitch {} {} {}.", said_to == SaidTo::singer ? "Your" : "The",
                                    change.cents < 0 ? "sank" : "rose",
                                    counted(static_cast<int>(std::lround(std::fabs(change.cents))), "cent"), where));
  }
  return sentences;
}

std::vector<std::string> pitch_changes_in_words(const Result& result) {
  return pitch_changes_in_words(
      pitch_changes(result), [&](int index) { return bar_of(result, index); }, SaidTo::singer);
}

}  // namespace firmus::report
