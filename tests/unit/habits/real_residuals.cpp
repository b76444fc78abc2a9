#include "real_residuals.hpp"

#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "base/statistics.hpp"
#include "firmus/melody.hpp"

namespace firmus::simulation {
namespace {

const std::string data_folder = FIRMUS_SOURCE_DIR "/../shared/data/";
constexpr std::size_t fewest_notes = 16;

std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells;
  std::istringstream text(line);
  for (std::string cell; std::getline(text, cell, ',');) cells.push_back(cell);
  return cells;
}

template <class T>
bool read(const std::string& text, T& value) {
  return std::from_chars(text.data(), text.data() + text.size(), value).ec == std::errc();
}

/// Pitch measured minus written, in cents, with the position in the melody.
struct Errors {
  std::vector<double> position, cents;
};

Errors errors_of(const std::string& take, const Melody& melody) {
  Errors errors;
  std::ifstream file(data_folder + "truth/" + take + ".csv");
  std::string line;
  std::getline(file, line);
  while (std::getline(file, line)) {
    const std::vector<std::string> cells = cells_of(line);
    int index = -1;
    double midi = 0;
    if (cells.size() < 5 || !read(cells[3], index) || !read(cells[4], midi) || index < 0) continue;
    const auto at = static_cast<std::size_t>(index);
    if (at >= melody.notes.size()) continue;
    errors.position.push_back(index);
    errors.cents.push_back(100 * (midi - midi_key(melody.notes[at].pitch)));
  }
  return errors;
}

std::vector<double> against_own_line(Errors errors) {
  const double slope = theil_sen_slope(errors.position, errors.cents);
  for (std::size_t k = 0; k < errors.cents.size(); ++k) errors.cents[k] -= slope * errors.position[k];
  const double centre = median(errors.cents);
  std::vector<double> kept;
  for (const double cents : errors.cents)
    if (std::fabs(cents - centre) <= 100) kept.push_back(cents - centre);
  return kept;
}

std::vector<std::vector<double>> read_all() {
  std::vector<std::vector<double>> takes;
  std::ifstream file(data_folder + "takes.csv");
  std::string line;
  std::getline(file, line);
  while (std::getline(file, line)) {
    const std::vector<std::string> cells = cells_of(line);
    if (cells.size() < 2) continue;
    const std::string melody = cells[1].substr(0, cells[1].find_first_of(".\r"));
    std::vector<double> kept =
        against_own_line(errors_of(cells[0], read_melody_file(data_folder + "melodies/" + melody + ".melody")));
    if (kept.size() >= fewest_notes) takes.push_back(std::move(kept));
  }
  return takes;
}

}  // namespace

const std::vector<std::vector<double>>& real_residuals() {
  static const std::vector<std::vector<double>> takes =
      std::filesystem::exists(data_folder + "takes.csv") ? read_all() : std::vector<std::vector<double>>{};
  return takes;
}

}  // namespace firmus::simulation
