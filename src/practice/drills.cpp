#include "drills.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "drill_text.hpp"
#include "spelling.hpp"
#include "usable_takes.hpp"

namespace firmus::practice {
namespace {

constexpr int slow_bpm = 60;                  ///< a second a beat: common practice for long notes
constexpr double slow_tempo_ratio = 2.0 / 3;  ///< of the written tempo
constexpr int default_bpm = 80;               ///< at tempo, where the melody gives none

DrillNote note(const SpelledPitch& pitch, int beats, bool counts = false) {
  return {pitch, Fraction(beats), counts, false, std::nullopt};
}
DrillNote rest(int beats, bool breath = true) {
  return {std::nullopt, Fraction(beats), false, breath, std::nullopt};
}

/// What all drills of a fault share.
class DrillMaker {
 public:
  DrillMaker(const LocatedFault& fault, const std::optional<NoteRange>& range)
      : fault_(fault), melody_(*fault.take->melody), range_(range), target_(*sung(fault.index)) {
    if (fault.before) start_ = sung(*fault.before);
    if (start_ && !in_range(range_, *start_)) start_.reset();
    if (const Interval way = start_ ? interval_between(*start_, target_) : Interval{}; way.semitones == 0)
      start_.reset();
  }

  std::vector<Drill> all() {
    if (in_range(range_, target_)) {
      hold();
      close_in();
      steps();
      slow();
    }
    other_starts();
    phrase(true);
    phrase(false);
    return std::move(drills_);
  }

 private:
  std::optional<SpelledPitch> sung(int index) const { return at_sung_pitch(*fault_.take, melody_.note(index).pitch); }
  bool is_flat() const { return fault_.row.mean_cents < 0; }
  /// The key at the note, at the pitch sung; C major where the melody has none, for steps.
  Key key() const {
    const Key written = melody_.note(fault_.index).key.value_or(melody_.key.value_or(Key{}));
    const SpelledPitch tonic{written.letter, written.alter, 4};
    const auto at = at_sung_pitch(*fault_.take, tonic);
    return at ? Key{at->letter, at->alter, written.mode} : written;
  }

  DrillHeader head(std::string title) const {
    DrillHeader head;
    head.title = std::move(title);
    head.aim = {fault_.row.group, fault_.row.name, fault_.row.direction, is_flat(), {}};
    if (melody_.key) head.key = key();
    head.tempo = fmt::format("{}", slow_bpm);
    head.tuning = melody_.tuning;
    head.a4_hz = melody_.a4_hz;
    head.sounds_semitones = melody_.sounds_semitones;
    // A few notes around the one that is off have no centre of their own: they are held against the track.
    head.reference = Reference::concert;
    return head;
  }
  void add(std::string name, const DrillHeader& head, std::string how, const std::vector<DrillNote>& sounds) {
    drills_.push_back({std::move(name), head.title, std::move(how), drill_text(head, sounds)});
  }

  void hold() {
    std::vector<DrillNote> sounds;
    for (int i = 0; i < 4; ++i) sounds.insert(sounds.end(), {note(target_, 4, true), rest(4)});
    add("hold", head(fmt::format("Hold {}", pitch_name(target_))),
        fmt::format(
            "Hear {} first, from the track or an instrument. Then hold it for four slow beats, rest, and take it "
            "again from silence.",
            pitch_name(target_)),
        sounds);
  }

  void close_in() {
    std::vector<DrillNote> sounds;
    for (int round = 0; round < 2; ++round) {
      for (const double off : {100.0, 50.0, 25.0}) {
        SpelledPitch near = target_;
        near.deviation_cents = is_flat() ? -off : off;
        sounds.insert(sounds.end(), {note(near, 3), rest(1)});
      }
      sounds.insert(sounds.end(), {note(target_, 4, true), rest(4)});
    }
    add("closing-in", head(fmt::format("Close in on {}", pitch_name(target_))),
        fmt::format(
            "Begin a semitone {0} {1} and come nearer each time, until it is {1}. Listen for the moment when it "
            "locks.",
            is_flat() ? "below" : "above", pitch_name(target_)),
        sounds);
  }

  void steps() {
    if (!start_) return;
    const Interval way = interval_between(*start_, target_);
    if (way.steps < 2) return;
    const int sign = way.direction == Direction::down ? -1 : 1;
    std::vector<DrillNote> filled{note(*start_, 1)};
    for (int i = 1; i < way.steps; ++i) {
      const auto step = diatonic_step(key(), *start_, sign * i);
      if (!step || !in_range(range_, *step)) return;
      filled.push_back(note(*step, 1));
    }
    filled.insert(filled.end(), {note(target_, 2, true), rest(1)});
    std::vector<DrillNote> sounds;
    for (int round = 0; round < 3; ++round) {
      sounds.insert(sounds.end(), filled.begin(), filled.end());
      sounds.insert(sounds.end(), {note(*start_, 2), note(target_, 3, true), rest(3)});
    }
    add("steps", head(fmt::format("{} to {} by steps, then bare", pitch_name(*start_), pitch_name(target_))),
        "Sing the steps and keep their last note in your ear. Then leap straight to it.", sounds);
  }

  void slow() {
    if (!start_) return;
    std::vector<DrillNote> sounds;
    for (int round = 0; round < 3; ++round)
      sounds.insert(sounds.end(), {note(*start_, 4), note(target_, 4, true), note(*start_, 3), rest(1), rest(4)});
    add("slow", head(fmt::format("{} and {}, slowly, there and back", pitch_name(*start_), pitch_name(target_))),
        "Four slow beats on each note. Hear the next one before you sing it.", sounds);
  }

  /// The same interval from the notes of the key that lie in the range, the nearest starting notes first.
  void other_starts() {
    if (fault_.row.group != "interval" || !fault_.before) return;
    const SpelledPitch from = *sung(*fault_.before);
    const Interval way = interval_between(from, target_);
    if (way.semitones == 0) return;
    std::vector<DrillNote> sounds;
    constexpr int most_starts = 5, furthest_steps = 7;
    int starts = 0;
    for (int k = 1; k <= 2 * furthest_steps && starts < most_starts; ++k) {
      const auto start = diatonic_step(key(), from, k % 2 == 1 ? (k + 1) / 2 : -k / 2);
      const auto end = start ? transposed(*start, way) : std::nullopt;
      const bool plain = end && std::abs(end->alter) <= 1;
      if (!plain || !in_range(range_, *start) || !in_range(range_, *end)) continue;
      sounds.insert(sounds.end(), {note(*start, 1), note(*end, 2, true), rest(1)});
      ++starts;
    }
    if (starts == 0) return;
    add("other-starts", head("The same interval from other notes"),
        "One interval, several starting notes: the distance stays the same, the notes do not.", sounds);
  }

  /// The notes of the phrase at the pitch sung, with what is rested between them.
  void phrase(bool slowly) {
    const auto& notes = melody_.notes;
    const int number = melody_.note(fault_.index).phrase;
    const Meter meter = melody_.meter.value_or(Meter{});
    const Fraction quarter_beats(meter.unit, 4);  // beats in a quarter note
    std::vector<DrillNote> sounds;
    Fraction at;
    for (const WrittenNote& n : notes) {
      if (n.phrase != number || n.grace) continue;
      const auto pitch = at_sung_pitch(*fault_.take, n.pitch);
      if (!pitch || !in_range(range_, *pitch)) return;
      if (sounds.empty()) {
        const Fraction lead = n.beat ? *n.beat - Fraction(1) : Fraction(0);
        if (Fraction(0) < lead) sounds.push_back({std::nullopt, lead, false, false, std::nullopt});
        at = n.onset_quarters;
      }
      const Fraction gap = (n.onset_quarters - at) * quarter_beats;
      if (Fraction(0) < gap) sounds.push_back({std::nullopt, gap, false, false, std::nullopt});
      const bool counts = n.index == fault_.index || is_in_group(n.index);
      sounds.push_back({pitch, n.length_quarters * quarter_beats, counts, false, n.word});
      at = n.onset_quarters + n.length_quarters;
    }
    DrillHeader top = head(slowly ? "The phrase, slowly" : "The phrase, at tempo");
    top.meter = meter;
    top.reference = melody_.reference;
    const double quarters = melody_.note(fault_.index).quarters_per_minute.value_or(default_bpm);
    const double beats = quarters * quarter_beats.value() * (slowly ? slow_tempo_ratio : 1);
    top.tempo = fmt::format("{}", std::max(20L, std::lround(beats)));
    add(slowly ? "phrase-slow" : "phrase", top,
        slowly ? "The phrase it stands in, at two thirds of its pace." : "The same at its own pace.", sounds);
  }

  bool is_in_group(int index) const {
    return std::find(fault_.row.indices.begin(), fault_.row.indices.end(), index) != fault_.row.indices.end();
  }

  const LocatedFault& fault_;
  const Melody& melody_;
  const std::optional<NoteRange>& range_;
  const SpelledPitch target_;
  std::optional<SpelledPitch> start_;
  std::vector<Drill> drills_;
};

}  // namespace

std::vector<Drill> make_drills(const LocatedFault& fault, const std::optional<NoteRange>& range) {
  return DrillMaker(fault, range).all();
}

}  // namespace firmus::practice
