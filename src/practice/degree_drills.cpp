// Drills on a degree of the scale: against tonic and triad, the leading note with its resolution, in other keys.
#include <fmt/format.h>

#include <array>
#include <cstdlib>

#include "drill_maker.hpp"
#include "spelling.hpp"

namespace firmus::practice {
namespace {

/// The note practised and what it is heard against.
struct DegreeNotes {
  SpelledPitch tonic, target;
  std::vector<SpelledPitch> triad;  ///< tonic, third, fifth upwards; empty where they leave the range
  bool resolves = false;            ///< the target is a semitone below the tonic
};

/// The nearest tonic in the range, the one above the target where both are as near.
std::optional<SpelledPitch> nearest_tonic(const DrillMaker& maker, const Key& key) {
  std::optional<SpelledPitch> nearest;
  const int at = midi_key(maker.target());
  for (int octave = 0; octave <= 9; ++octave) {
    const SpelledPitch tonic{key.letter, key.alter, octave};
    if (!maker.fits(tonic) || midi_key(tonic) == at) continue;
    if (!nearest || std::abs(midi_key(tonic) - at) <= std::abs(midi_key(*nearest) - at)) nearest = tonic;
  }
  return nearest;
}

std::vector<SpelledPitch> triad_on(const DrillMaker& maker, const Key& key, const SpelledPitch& tonic) {
  for (const int down : {0, -7}) {  // an octave lower where it would go too high
    std::vector<SpelledPitch> triad;
    for (const int steps : {0, 2, 4})
      if (const auto pitch = diatonic_step(key, tonic, steps + down); pitch && maker.fits(*pitch))
        triad.push_back(*pitch);
    if (triad.size() == 3) return triad;
  }
  return {};
}

/// "D4 C#4 D4, D4 F#4 A4 C#4 D4": from the tonic to the target and back, then from the triad.
void add_round(std::vector<DrillNote>& sounds, const DegreeNotes& notes) {
  append(sounds, {note(notes.tonic, 2), note(notes.target, 2, Aimed::yes), note(notes.tonic, 2), rest(2)});
  if (notes.triad.empty()) return;
  for (const SpelledPitch& pitch : notes.triad) sounds.push_back(note(pitch, 1));
  append(sounds, {note(notes.target, 1, Aimed::yes), note(notes.tonic, 2), rest(2)});
}

/// Rounds in each key in turn, until six notes are aimed at: five in a row make a drill done.
std::vector<DrillNote> rounds_in(const std::vector<DegreeNotes>& keys) {
  constexpr std::size_t fewest_aimed = 6;
  std::vector<DrillNote> sounds;
  for (std::size_t aimed = 0; aimed < fewest_aimed;)
    for (const DegreeNotes& notes : keys) {
      add_round(sounds, notes);
      aimed += notes.triad.empty() ? 1 : 2;
    }
  return sounds;
}

std::optional<DegreeNotes> moved(const DrillMaker& maker, const DegreeNotes& notes, const Interval& by) {
  DegreeNotes there;
  const auto move = [&](const SpelledPitch& pitch) {
    auto to = transposed(pitch, by);
    return to && std::abs(to->alter) <= 1 && maker.fits(*to) ? to : std::nullopt;
  };
  const auto tonic = move(notes.tonic), target = move(notes.target);
  if (!tonic || !target) return std::nullopt;
  there.tonic = *tonic;
  there.target = *target;
  for (const SpelledPitch& pitch : notes.triad) {
    const auto to = move(pitch);
    if (!to) return std::nullopt;
    there.triad.push_back(*to);
  }
  return there;
}

void add_against_tonic(DrillMaker& maker, const DegreeNotes& notes) {
  const std::string target = pitch_name(maker.target()), tonic = pitch_name(notes.tonic);
  maker.add("tonic",
            maker.head(fmt::format("{} against {}{}", target, tonic, notes.triad.empty() ? "" : " and its triad"),
                       Reference::own),
            notes.resolves
                ? fmt::format("Hold {0} long enough to hear how it wants to go to {1}, then let it go there. "
                              "Put {1} on a drone if you can.",
                              target, tonic)
                : fmt::format("Put {1} on a drone if you can, and hear how {0} stands in the key.", target, tonic),
            rounds_in({notes}));
}

/// In the key itself and two others near by, once each.
void add_in_other_keys(DrillMaker& maker, const DegreeNotes& notes) {
  constexpr std::array<Interval, 6> ways{{{1, 2, Direction::up},
                                          {1, 2, Direction::down},
                                          {2, 3, Direction::up},
                                          {2, 3, Direction::down},
                                          {3, 5, Direction::up},
                                          {3, 5, Direction::down}}};
  constexpr std::size_t most_keys = 3;
  std::vector<DegreeNotes> keys{notes};
  for (const Interval& way : ways)
    if (const auto there = moved(maker, notes, way); there && keys.size() < most_keys) keys.push_back(*there);
  if (keys.size() < 2) return;
  maker.add("keys", maker.head(fmt::format("The same in {} keys", keys.size() == 2 ? "two" : "three"), Reference::own),
            "Each round begins on the tonic. The distance to it stays the same in every key.", rounds_in(keys));
}

}  // namespace

void add_degree_drills(DrillMaker& maker) {
  const std::string& group = maker.fault().row.group;
  const auto key = maker.key();
  const bool applies = group == "degree" || group == "note" || group == "spot" || group == "substitution";
  if (!applies || !key || !maker.target_in_range()) return;
  const auto tonic = nearest_tonic(maker, *key);
  if (!tonic) return;
  DegreeNotes notes{*tonic, maker.target(), triad_on(maker, *key, *tonic), false};
  notes.resolves = midi_key(*tonic) - midi_key(maker.target()) == 1;
  add_against_tonic(maker, notes);
  add_in_other_keys(maker, notes);
}

}  // namespace firmus::practice
