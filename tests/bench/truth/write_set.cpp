#include "write_set.hpp"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <mutex>
#include <stdexcept>

#include "sound_files.hpp"

namespace firmus::truth {

using namespace support;
namespace {

void write_text(const std::filesystem::path& path, const std::string& text) {
  std::filesystem::create_directories(path.parent_path());
  std::ofstream file(path, std::ios::binary);
  file << text;
  if (!file.flush()) throw std::runtime_error("cannot write " + path.string());
}

/// `measured_midi` is the same as `sung_midi`: both are exact.
std::string truth_csv(const TruthTake& take) {
  std::string csv = "onset_s,offset_s,sung_midi,score_index,measured_midi\n";
  for (const TrueNote& note : take.notes) {
    const double midi = 69 + 12 * std::log2(note.hz / 440);
    csv += fmt::format("{:.4f},{:.4f},{:.4f},{},{:.4f}\n", note.onset_s, note.end_s, midi,
                       note.status == NoteStatus::sung ? note.written.value_or(-1) : -1, midi);
  }
  return csv;
}

}  // namespace

void write_take(const std::string& folder, const TruthTake& take) {
  const std::filesystem::path root(folder);
  std::filesystem::create_directories(root / "takes");
  write_flac((root / "takes" / (take.id + ".flac")).string(), take.samples, take.rate_hz);
  write_text(root / "truth" / (take.id + ".csv"), truth_csv(take));
  static std::mutex one_melody;
  const std::lock_guard lock(one_melody);
  write_text(root / "melodies" / (take.melody_name + ".melody"), take.melody.text);
}

void write_list(const std::string& folder, const std::vector<std::pair<std::string, std::string>>& take_and_melody) {
  std::string csv = "take,melody\n";
  for (const auto& [take, melody] : take_and_melody) csv += fmt::format("{},{}\n", take, melody);
  write_text(std::filesystem::path(folder) / "takes.csv", csv);
}

}  // namespace firmus::truth
