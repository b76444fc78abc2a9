#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "simulation.hpp"

namespace firmus::simulation {
namespace {

Line line_of(Melody melody) {
  Line line{std::move(melody), {}};
  line.names = habits::group_names(line.melody);
  return line;
}

/// Four bars to a phrase, where none is written.
void cut_into_phrases(Melody& melody) {
  if (melody.notes.front().phrase != melody.notes.back().phrase) return;
  for (WrittenNote& note : melody.notes) note.phrase = 1 + (std::max(1, note.bar.value_or(1)) - 1) / 4;
}

/// A melody for sight-singing: mostly steps, some leaps, within a tenth; 16 bars of four beats.
std::string invented_line(std::uint64_t seed) {
  constexpr const char* scale[] = {"C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5", "D5", "E5"};
  constexpr int leaps[] = {-5, -4, -3, -2, -1, -1, -1, 0, 1, 1, 1, 2, 3, 4, 5};
  Random random(seed);
  std::string text = "key: C major\nmeter: 4/4\n";
  int at = 2;
  for (int bar = 0; bar < 16; ++bar) {
    const int notes = bar % 4 == 3 ? 1 : random.uniform() < 0.4 ? 3 : 4;
    for (int k = 0; k < notes; ++k) {
      int next = at;
      do next = at + leaps[random.below(std::size(leaps))];
      while (next < 0 || next > 9);
      at = next;
      text += fmt::format("{}:{} ", scale[at], notes == 1 ? 4 : notes == 3 && k == 2 ? 2 : 1);
    }
    text += bar % 4 == 3 ? "| ,\n" : "| ";
  }
  return text;
}

std::vector<Line> read_shared() {
  std::vector<Line> lines;
  const std::filesystem::path folder = FIRMUS_SOURCE_DIR "/../shared/data/melodies";
  if (!std::filesystem::is_directory(folder)) return lines;
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  for (const auto& file : files) {
    Melody melody = read_melody_file(file.string());
    cut_into_phrases(melody);
    lines.push_back(line_of(std::move(melody)));
  }
  return lines;
}

}  // namespace

const std::vector<Line>& invented_lines() {
  static const std::vector<Line> made = [] {
    std::vector<Line> all;
    for (std::uint64_t seed = 1; seed <= 14; ++seed) all.push_back(line_of(read_melody(invented_line(seed), "line")));
    return all;
  }();
  return made;
}

const std::vector<Line>& lines() {
  static const std::vector<Line> shared = read_shared();
  return shared.empty() ? invented_lines() : shared;
}

}  // namespace firmus::simulation
