// What must hold for every score, whatever its bytes: a melody or an InputError with a line for each problem; a melody
// keeps its limits, and the text made of it and its table read back as the same notes.
#pragma once
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "firmus/melody.hpp"

namespace firmus::fuzz {

inline void require(bool holds) {
  if (!holds) std::abort();
}

inline bool same(const WrittenNote& a, const WrittenNote& b) {
  return a.pitch == b.pitch && a.beats == b.beats && a.onset_beats == b.onset_beats &&
         a.onset_quarters == b.onset_quarters && a.mark == b.mark && a.section == b.section && a.pass == b.pass &&
         a.bar == b.bar && a.beat == b.beat && a.phrase == b.phrase && a.word == b.word && a.target_hz == b.target_hz;
}

inline void read_score_line(std::string_view bytes) {
  try {
    const Melody melody = read_melody(bytes, "fuzz", {"1", {}, {}});
    require(!melody.notes.empty() && melody.notes.size() <= 20000);
    require(!describe_melody(melody).empty());
    const Melody again = read_melody(melody_as_text(melody), "again");
    require(again.notes.size() == melody.notes.size());
    for (std::size_t i = 0; i < again.notes.size(); ++i) require(same(again.notes[i], melody.notes[i]));
    require(read_melody(melody_as_csv(melody), "table").notes.size() == melody.notes.size());
  } catch (const InputError& error) {
    require(!error.problems().empty() && error.problems().size() <= 21);
    for (const Problem& problem : error.problems())
      require(problem.place.file != "again" && problem.place.file != "table");
  }
}

}  // namespace firmus::fuzz
