// Simulated takes with known habits: written melodies, noise like that of real takes, and planted tendencies.
#pragma once
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "firmus/habits.hpp"
#include "group_names.hpp"

namespace firmus::simulation {

/// Numbers that are the same on every machine (SplitMix64, Steele and others 2014).
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next();
  double uniform();                      ///< 0 to 1
  double normal();                       ///< Box and Muller 1958
  std::size_t below(std::size_t count);  ///< 0 to count - 1
  double sign() { return next() & 1 ? 1 : -1; }

 private:
  std::uint64_t state_;
};

enum class Noise { normal, t4, memory_30, memory_60, drift, all, real, real_flipped };
std::string name_of(Noise noise);

/// Errors of `count` notes with this spread, in cents. `real` needs residuals.
std::vector<double> noise_of(Noise noise, std::size_t count, double spread_cents, Random& random);
/// Whether the residuals of real takes are available.
bool has_real_residuals();

struct Line {
  Melody melody;
  std::vector<std::vector<habits::GroupName>> names;
};
/// Adds a random offset with this standard deviation to all notes of each interval: variation between takes.
void add_wander(std::vector<double>& errors, const Line& line, double cents, Random& random);
/// Written melodies: those of ../shared/data/melodies where available, with a phrase every four bars, else invented
/// ones of the same kind. `invented_lines` always gives the latter.
const std::vector<Line>& lines();
const std::vector<Line>& invented_lines();

/// A group of notes of one melody.
struct Planted {
  const Line* line = nullptr;
  habits::GroupName name;
  std::vector<int> indices;
};
/// Every group of these families with `from` to `to` notes, at most half of its melody.
std::vector<Planted> groups_of_size(const std::vector<Line>& lines, std::vector<habits::Family> families,
                                    std::size_t from, std::size_t to);

/// The notes of a take with these errors, all judged.
std::vector<NoteResult> take_of(const Melody& melody, const std::vector<double>& cents, double se_cents = 2);

/// Whether a row reports the planted group: by its name or another name of the same notes; with `confounders` also as a
/// group that it may be confused with.
bool names(const HabitRow& row, const habits::GroupName& name, bool confounders = false);
/// Whether half of its notes and of `indices` are the same (geometric mean of the two shares).
bool overlaps(const HabitRow& row, const std::vector<int>& indices);
/// The chronic ones.
std::vector<HabitRow> chronic(const std::vector<HabitRow>& rows);
std::vector<HabitRow> chronic(const std::vector<SharedHabit>& rows);

}  // namespace firmus::simulation
