// Names of written notes: what notes have in common. Notes with the same name form a group.
#pragma once
#include <compare>
#include <string>
#include <vector>

#include "firmus/enum_names.hpp"
#include "firmus/melody.hpp"

namespace firmus::habits {

/// Kinds of names. An error that several notes share is looked for in each of them.
enum class Family {
  interval,     ///< into the note, with its direction: "M6" up
  place,        ///< in the phrase: "first" "last"; only where a melody has several phrases
  degree,       ///< in the key in force: "raised 7"; "raised 7 of D minor" where that changes
  note,         ///< with octave: "F#4"
  spot,         ///< one written note: "bar 3 beat 2"
  approach,     ///< "step" "leap" "repeat"
  line,         ///< melodic direction into the note: "rising" "falling"
  length,       ///< "short" "long", against the median length in the melody
  registers,    ///< "low" "middle" "high": thirds of the melody's range in semitones
  substitution  ///< a note sung as another: "C#5>C5"; no name of a written note (see substitutions.hpp)
};
constexpr auto enum_names(Family) {
  using enum Family;
  return std::to_array<EnumName<Family>>({{interval, "interval"},
                                          {place, "place"},
                                          {degree, "degree"},
                                          {note, "note"},
                                          {spot, "spot"},
                                          {approach, "approach"},
                                          {line, "line"},
                                          {length, "length"},
                                          {registers, "register"},
                                          {substitution, "substitution"}});
}

struct GroupName {
  Family family = Family::interval;
  std::string name;
  std::optional<Direction> direction;  ///< of an interval only
  friend auto operator<=>(const GroupName&, const GroupName&) = default;
};

/// "interval M6 up", "degree 3"
std::string full_name(const GroupName& name);

/// Whether a name describes how a note is reached from the one before. Such a name does not apply where the note before
/// was left out or sung as another note.
bool needs_previous_note(Family family);

/// The names of each written note, by index; none for grace notes.
std::vector<std::vector<GroupName>> group_names(const Melody& melody);

}  // namespace firmus::habits
