// What written notes have in common, by name.
#pragma once
#include <compare>
#include <string>
#include <vector>

#include "firmus/melody.hpp"

namespace firmus::habits {

/// What a name is about. An error shared by notes is asked for under each of these.
enum class Family { interval, place, degree, note, spot, approach, line, length, registers };
std::string_view to_string(Family family);  ///< "interval" "place" ... "register"

struct GroupName {
  Family family = Family::interval;
  std::string name;  ///< "M6", "first", "raised 7", "F#4", "bar 3 beat 2", "leap", "rising", "short", "low"
  std::optional<Direction> direction;  ///< of an interval
  friend auto operator<=>(const GroupName&, const GroupName&) = default;
};

/// "interval M6 up", "degree 3"
std::string full_name(const GroupName& name);

/// How a note is reached from the one before; such a name says nothing where that one was left out or another one.
bool needs_previous_note(Family family);

/// The names of each written note, grace notes none. Short and long: than the middle length of the melody. Low and
/// high: in the lowest and highest third of its range. First and last: of a phrase, where there are several.
std::vector<std::vector<GroupName>> group_names(const Melody& melody);

}  // namespace firmus::habits
