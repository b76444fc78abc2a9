#include "annotated_takes.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

namespace firmus::fit {
namespace {

namespace fs = std::filesystem;

std::vector<std::vector<std::string>> read_csv(const fs::path& path) {
  std::ifstream in(path);
  if (!in) throw InputError(Problem{{path.string(), 0, 0}, "cannot be read", "give a folder of annotated takes"});
  std::vector<std::vector<std::string>> rows;
  for (std::string line; std::getline(in, line);) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    auto& row = rows.emplace_back();
    std::istringstream cells(line);
    for (std::string cell; std::getline(cells, cell, ',');) row.push_back(cell);
  }
  if (!rows.empty()) rows.erase(rows.begin());
  return rows;
}

std::vector<AnnotatedNote> read_truth(const fs::path& path) {
  std::vector<AnnotatedNote> notes;
  for (const auto& row : read_csv(path)) {
    if (row.size() < 3 || row[1].empty() || row[1] == "nan") continue;
    notes.push_back({std::stod(row[0]), std::stod(row[1]), std::stod(row[2])});
  }
  return notes;
}

std::vector<double> steps_of(const std::vector<double>& pitches) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < pitches.size(); ++i) steps.push_back(pitches[i] - pitches[i - 1]);
  return steps;
}

double common_share(const std::vector<double>& a, const std::vector<double>& b) {
  constexpr double same_semitones = 0.8;
  std::vector<int> row(b.size() + 1, 0);
  for (const double step : a) {
    int diagonal = 0;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const int above = row[j + 1];
      row[j + 1] = std::max({above, row[j], diagonal + (std::abs(step - b[j]) < same_semitones ? 1 : 0)});
      diagonal = above;
    }
  }
  return row.back() / static_cast<double>(std::max<std::size_t>(1, std::max(a.size(), b.size())));
}

}  // namespace

std::vector<AnnotatedTake> read_annotated_takes(const std::string& folder) {
  const fs::path root(folder);
  std::map<std::string, std::string> line_of;
  if (fs::exists(root / "takes.csv"))
    for (const auto& row : read_csv(root / "takes.csv")) line_of[row.at(0)] = row.at(1);
  std::vector<AnnotatedTake> takes;
  for (const auto& entry : fs::directory_iterator(root / "truth")) {
    AnnotatedTake take;
    take.id = entry.path().stem().string();
    take.take_path = (root / "takes" / (take.id + ".flac")).string();
    take.notes = read_truth(entry.path());
    if (const auto known = line_of.find(take.id); known != line_of.end()) {
      take.line = known->second;
      take.melody = read_melody_file((root / "melodies" / (take.line + ".melody")).string());
    }
    takes.push_back(std::move(take));
  }
  std::ranges::sort(takes, {}, &AnnotatedTake::id);
  return takes;
}

void name_lines_by_intervals(std::vector<AnnotatedTake>& takes, double least_share) {
  std::map<std::string, std::vector<double>> steps_of_line;
  for (const auto& take : takes) {
    if (!take.melody) continue;
    std::vector<double> written;
    for (const auto& note : take.melody->notes) written.push_back(midi_key(note.pitch));
    steps_of_line[take.line] = steps_of(written);
  }
  for (auto& take : takes) {
    if (!take.line.empty()) continue;
    std::vector<double> sung;
    for (const auto& note : take.notes) sung.push_back(note.sung_midi);
    const auto sung_steps = steps_of(sung);
    double best = least_share;
    for (const auto& [line, steps] : steps_of_line) {
      if (const double share = common_share(sung_steps, steps); share >= best) {
        best = share;
        take.line = line;
      }
    }
  }
}

}  // namespace firmus::fit
