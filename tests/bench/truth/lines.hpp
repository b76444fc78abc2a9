// Written lines that are made, not read: the melodies of this set with repeated notes, and runs of sixteenths.
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "firmus/melody.hpp"
#include "singer.hpp"
#include "truth_take.hpp"

namespace firmus::truth {

struct LineNote {
  std::string pitch;  ///< "F#4"; "rest"
  double quarters = 1;
  bool breath_after = false;
  int written = -1;  ///< of a sung line: index in the written one
};
using Line = std::vector<LineNote>;

Melody melody_of(const Line& line, double quarters_per_minute);

/// The rhythm of one of the melodies, without its words; about `share` of its notes repeat the one before.
Line with_repeated_notes(const std::string& melody_name, double share, std::uint64_t seed);
/// Indices of the notes that repeat the one before with no breath between, and are neither the third of their pitch in
/// a row nor the last of the line: of those it can be told which is left out.
std::vector<int> lone_repeats(const Line& line);

/// Three phrases of 16 sixteenths and a long note, mostly by step in a major scale, about the middle of the melody.
Line sixteenths(const std::string& melody_name, std::uint64_t seed);

/// What becomes of a note that is not sung.
enum class LeftOut { silence, cut_out, held_over };
/// The line as it is sung when the notes at `indices` are left out: with silence in their place; the next note at once;
/// the note before held through. Each but the first has its `written`.
Line without_notes(const Line& line, const std::vector<int>& indices, LeftOut how);

/// A take of `written` in which `sung` was sung.
TruthTake sing_line(const std::string& name, const Line& written, const Line& sung, double quarters_per_minute,
                    const singer::Plan& plan);

}  // namespace firmus::truth
