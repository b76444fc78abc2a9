// Drills on the way into the target: by steps, slowly there and back, the same interval from other notes.
#include <fmt/format.h>

#include <cstdlib>

#include "drill_maker.hpp"
#include "spelling.hpp"

namespace firmus::practice {
namespace {

constexpr int rounds = 3;  // with two targets each: five in a row may come

void fill_with_steps(DrillMaker& maker, const SpelledPitch& start) {
  const Interval way = interval_between(start, maker.target());
  if (way.steps < 2) return;
  const int sign = way.direction == Direction::down ? -1 : 1;
  std::vector<DrillNote> filled{note(start, 1)};
  for (int i = 1; i < way.steps; ++i) {
    const auto step = diatonic_step(maker.key().value_or(Key{}), start, sign * i);
    if (!step || !maker.fits(*step)) return;
    filled.push_back(note(*step, 1));
  }
  append(filled, {note(maker.target(), 2, Aimed::yes), rest(1)});
  std::vector<DrillNote> sounds;
  for (int round = 0; round < rounds; ++round) {
    sounds.insert(sounds.end(), filled.begin(), filled.end());
    append(sounds, {note(start, 2), note(maker.target(), 3, Aimed::yes), rest(3)});
  }
  maker.add("steps",
            maker.head(fmt::format("{} to {} by steps, then bare", pitch_name(start), pitch_name(maker.target())),
                       Reference::own),
            "Sing or play the steps and keep their last note in your ear. Then leap straight to it.", sounds);
}

void go_there_and_back(DrillMaker& maker, const SpelledPitch& start) {
  const SpelledPitch& target = maker.target();
  std::vector<DrillNote> sounds;
  for (int round = 0; round < rounds; ++round)
    append(sounds, {note(start, 3), note(target, 3, Aimed::yes), note(start, 3), note(target, 3, Aimed::yes), rest(4)});
  maker.add("slow",
            maker.head(fmt::format("{} and {}, slowly, there and back", pitch_name(start), pitch_name(target)),
                       Reference::own),
            "Three slow beats on each note. Hear the next one before it comes.", sounds);
}

/// From the notes of the key that lie in the range, the nearest starting notes first; twice over.
void begin_on_other_notes(DrillMaker& maker) {
  if (maker.fault().row.group != "interval" || !maker.fault().before) return;
  const SpelledPitch from = *maker.sung(*maker.fault().before);
  const Interval way = interval_between(from, maker.target());
  if (way.semitones == 0) return;
  constexpr int most_starts = 5, furthest_steps = 7;
  std::vector<DrillNote> once;
  int starts = 0;
  for (int k = 1; k <= 2 * furthest_steps && starts < most_starts; ++k) {
    const auto start = diatonic_step(maker.key().value_or(Key{}), from, k % 2 == 1 ? (k + 1) / 2 : -k / 2);
    const auto end = start ? transposed(*start, way) : std::nullopt;
    const bool plain = end && std::abs(end->alter) <= 1;
    if (!plain || !maker.fits(*start) || !maker.fits(*end)) continue;
    append(once, {note(*start, 1), note(*end, 2, Aimed::yes), rest(1)});
    ++starts;
  }
  if (starts == 0) return;
  std::vector<DrillNote> sounds = once;
  sounds.insert(sounds.end(), once.begin(), once.end());
  maker.add("other-starts", maker.head("The same interval from other notes", Reference::own),
            "One interval, several starting notes: the distance stays the same, the notes do not.", sounds);
}

}  // namespace

void add_interval_drills(DrillMaker& maker) {
  if (maker.target_in_range() && maker.start()) {
    fill_with_steps(maker, *maker.start());
    go_there_and_back(maker, *maker.start());
  }
  begin_on_other_notes(maker);
}

}  // namespace firmus::practice
