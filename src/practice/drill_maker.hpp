// What all drills of a fault share: the target at the pitch sung, the key, the range, and how a drill is written.
#pragma once
#include <initializer_list>
#include <optional>
#include <string>
#include <vector>

#include "drill_text.hpp"
#include "faults.hpp"
#include "firmus/practice.hpp"

namespace firmus::practice {

class DrillMaker {
 public:
  /// The target must exist at the pitch sung (see at_sung_pitch). `fault` and `range` must outlive the maker.
  DrillMaker(const LocatedFault& fault, const std::optional<NoteRange>& range);

  const LocatedFault& fault() const { return fault_; }
  const Melody& melody() const { return *fault_.take->melody; }
  const SpelledPitch& target() const { return target_; }
  /// The note from which the target is reached, at the pitch sung; none where it is outside the range, the same note,
  /// or beyond a phrase end or a repeat.
  const std::optional<SpelledPitch>& start() const { return start_; }
  bool is_flat() const { return fault_.row.mean_cents < 0; }
  bool target_in_range() const { return fits(target_); }
  bool fits(const SpelledPitch& pitch) const;
  std::optional<SpelledPitch> sung(int index) const;
  /// The key at the note, at the pitch sung; none where the melody has none.
  std::optional<Key> key() const;

  /// A header with a slow tempo. `concert`: a drill on one note has no other notes to be held against than the track.
  DrillHeader head(std::string title, Reference reference) const;
  void add(std::string name, const DrillHeader& head, std::string how, const std::vector<DrillNote>& sounds);
  std::vector<Drill> take() { return std::move(drills_); }

 private:
  const LocatedFault& fault_;
  const std::optional<NoteRange>& range_;
  SpelledPitch target_;
  std::optional<SpelledPitch> start_;
  std::vector<Drill> drills_;
};

enum class Aimed { no, yes };
inline DrillNote note(const SpelledPitch& pitch, int beats, Aimed aimed = Aimed::no) {
  return {pitch, Fraction(beats), aimed == Aimed::yes, false, std::nullopt};
}
/// A rest at which a phrase ends.
inline DrillNote rest(int beats) {
  return {std::nullopt, Fraction(beats), false, true, std::nullopt};
}
inline void append(std::vector<DrillNote>& sounds, std::initializer_list<DrillNote> more) {
  sounds.insert(sounds.end(), more);
}

// Each adds the drills of its kind that apply to the fault and stay within the range, from easy to hard.
void add_note_drills(DrillMaker& maker);      ///< the target held, approached, repeated, at the end of its phrase
void add_degree_drills(DrillMaker& maker);    ///< the target against tonic and triad, also in other keys
void add_interval_drills(DrillMaker& maker);  ///< the way into the target by steps, slowly, from other notes
void add_phrase_drills(DrillMaker& maker);    ///< the phrase three times over, slowly and at tempo

}  // namespace firmus::practice
