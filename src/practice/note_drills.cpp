// Drills on the target alone: held, approached, repeated, at the end of its phrase.
#include <fmt/format.h>

#include "drill_maker.hpp"

namespace firmus::practice {
namespace {

constexpr int held_times = 6;  // five in a row make a drill done, so that one may fail

void hold_target(DrillMaker& maker) {
  std::vector<DrillNote> sounds;
  for (int i = 0; i < held_times; ++i) append(sounds, {note(maker.target(), 4, Aimed::yes), rest(4)});
  maker.add("hold", maker.head(fmt::format("Hold {}", pitch_name(maker.target())), Reference::concert),
            fmt::format("Hear {} first, from the track or an instrument. Then hold it for four slow beats, rest, and "
                        "take it again from silence.",
                        pitch_name(maker.target())),
            sounds);
}

void close_in_on_target(DrillMaker& maker) {
  std::vector<DrillNote> sounds;
  for (int round = 0; round < 2; ++round) {
    for (const double off : {100.0, 50.0, 25.0}) {
      SpelledPitch near = maker.target();
      near.deviation_cents = maker.is_flat() ? -off : off;
      append(sounds, {note(near, 3), rest(1)});
    }
    for (int i = 0; i < 3; ++i) append(sounds, {note(maker.target(), 3, Aimed::yes), rest(1)});
  }
  maker.add("closing-in", maker.head(fmt::format("Close in on {}", pitch_name(maker.target())), Reference::concert),
            fmt::format("Begin a semitone {0} {1} and come nearer each time, until it is {1}. Stay on it three times.",
                        maker.is_flat() ? "below" : "above", pitch_name(maker.target())),
            sounds);
}

/// The note four times on one breath. The first time is what the others are compared with.
void repeat_target(DrillMaker& maker) {
  if (maker.fault().row.group != "approach" || maker.fault().row.name != "repeat") return;
  const SpelledPitch& target = maker.target();
  std::vector<DrillNote> sounds;
  for (int round = 0; round < 3; ++round)
    append(sounds, {note(target, 1), note(target, 1, Aimed::yes), note(target, 1, Aimed::yes),
                    note(target, 1, Aimed::yes), rest(4)});
  maker.add("repeats", maker.head(fmt::format("{} four times", pitch_name(target)), Reference::own),
            "Sing or play the note four times without letting it change. Think each one a little higher than the last "
            "if it tends to sink.",
            sounds);
}

/// The last notes of the phrase, the target held longer than written.
void end_phrase_on_target(DrillMaker& maker) {
  if (maker.fault().row.group != "place" || maker.fault().row.name != "last") return;
  constexpr int before_it = 2, times = 5, held_beats = 4, two_bars = 8;
  std::vector<DrillNote> lead;
  const int phrase = maker.melody().note(maker.fault().index).phrase;
  for (int index = maker.fault().index - 1; index >= 0 && static_cast<int>(lead.size()) < before_it; --index) {
    const WrittenNote& written = maker.melody().note(index);
    if (written.phrase != phrase) break;
    if (written.grace) continue;
    const auto pitch = maker.sung(index);
    if (!pitch || !maker.fits(*pitch)) break;
    lead.insert(lead.begin(), note(*pitch, 1));
  }
  if (lead.empty()) return;
  std::vector<DrillNote> sounds;
  for (int i = 0; i < times; ++i) {
    sounds.insert(sounds.end(), lead.begin(), lead.end());
    append(sounds,
           {note(maker.target(), held_beats, Aimed::yes), rest(two_bars - held_beats - static_cast<int>(lead.size()))});
  }
  maker.add("ends", maker.head(fmt::format("End the phrase on {}", pitch_name(maker.target())), Reference::own),
            "Hold the last note for four beats without letting it sink; keep the breath or the bow moving to its end.",
            sounds);
}

}  // namespace

void add_note_drills(DrillMaker& maker) {
  if (!maker.target_in_range()) return;
  hold_target(maker);
  close_in_on_target(maker);
  repeat_target(maker);
  end_phrase_on_target(maker);
}

}  // namespace firmus::practice
