// Whatever the bytes: read_melody returns a melody or throws InputError with 1 to 21 problems; a melody keeps its
// limits, can be printed in every form, and its text reads back as the same notes.
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "firmus/melody.hpp"

namespace {

void require(bool holds) {
  if (!holds) std::abort();
}

bool same(const firmus::WrittenNote& a, const firmus::WrittenNote& b) {
  return a.pitch == b.pitch && a.beats == b.beats && a.onset_quarters == b.onset_quarters &&
         a.length_quarters == b.length_quarters && a.mark == b.mark && a.grace == b.grace && a.section == b.section &&
         a.pass == b.pass && a.bar == b.bar && a.beat == b.beat && a.phrase == b.phrase && a.word == b.word &&
         a.key == b.key && a.quarters_per_minute == b.quarters_per_minute && a.target_hz == b.target_hz;
}

/// Whether the letters of a name of a column stand in it, in either case. Bar numbers of a CSV may be any; text counts
/// its own.
bool names(std::string_view source, std::string_view column) {
  for (std::size_t i = 0; i + column.size() <= source.size(); ++i) {
    std::size_t same = 0;
    while (same < column.size() && (source[i + same] | 32) == column[same]) ++same;
    if (same == column.size()) return true;
  }
  return false;
}
bool may_be_csv(std::string_view source) {
  return names(source, "note") || names(source, "written");
}

void check_text_reads_back(const firmus::Melody& melody, std::string_view source) {
  const bool is_csv = may_be_csv(source);
  const firmus::Melody again = firmus::read_melody(firmus::melody_as_text(melody), "again");
  require(again.notes.size() == melody.notes.size());
  for (std::size_t i = 0; i < again.notes.size(); ++i) require(is_csv || same(again.notes[i], melody.notes[i]));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  try {
    firmus::Melody melody = firmus::read_melody(text, "fuzz");
    require(!melody.notes.empty() && melody.notes.size() <= 20000);
    require(melody.warnings.size() <= 21);
    for (const firmus::WrittenNote& note : melody.notes) require(note.target_hz > 0 && note.target_hz < 1e6);
    require(!firmus::describe_melody(melody).empty());
    require(!firmus::melody_as_csv(melody).empty());
    check_text_reads_back(melody, text);
    melody.text.clear();
    require(!firmus::melody_as_text(melody).empty());
  } catch (const firmus::InputError& error) {
    require(!error.problems().empty() && error.problems().size() <= 21);
    for (const firmus::Problem& problem : error.problems()) require(to_line(problem).size() < 600);
  }
  return 0;
}
