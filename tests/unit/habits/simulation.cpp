#include "simulation.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "real_residuals.hpp"

namespace firmus::simulation {

std::uint64_t Random::next() {
  std::uint64_t z = state_ += 0x9e3779b97f4a7c15;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9;
  z = (z ^ (z >> 27)) * 0x94d049bb133111eb;
  return z ^ (z >> 31);
}

double Random::uniform() {
  return (static_cast<double>(next() >> 11) + 0.5) / 9007199254740992.0;
}

double Random::normal() {
  const double radius = std::sqrt(-2 * std::log(uniform()));
  return radius * std::cos(2 * 3.14159265358979323846 * uniform());
}

std::size_t Random::below(std::size_t count) {
  return static_cast<std::size_t>(uniform() * static_cast<double>(count));
}

std::string name_of(Noise noise) {
  constexpr const char* names[] = {"normal", "t4",  "memory 0.3",     "memory 0.6",
                                   "drift",  "all", "real residuals", "real residuals, signs flipped"};
  return names[static_cast<std::size_t>(noise)];
}

namespace {

/// Student's t with 4 degrees of freedom, scaled to a standard deviation of 1.
double heavy_tailed(Random& random) {
  double squares = 0;
  for (int i = 0; i < 4; ++i) {
    const double value = random.normal();
    squares += value * value;
  }
  return random.normal() / std::sqrt(squares / 4) / std::sqrt(2.0);
}

void remember(std::vector<double>& errors, double rho) {
  for (std::size_t k = 1; k < errors.size(); ++k)
    errors[k] = rho * errors[k - 1] + std::sqrt(1 - rho * rho) * errors[k];
}

/// Residuals of a linear tuning curve when the pitch sinks and comes back.
void bend(std::vector<double>& errors, double cents) {
  const auto n = static_cast<double>(errors.size());
  for (std::size_t k = 0; k < errors.size(); ++k) {
    const double x = 2 * static_cast<double>(k) / n - 1;
    errors[k] += cents * (x * x - 1.0 / 3);
  }
}

std::vector<double> real(std::size_t count, bool flipped, Random& random) {
  const auto& takes = real_residuals();
  std::vector<double> errors;
  while (errors.size() < count) {
    const std::vector<double>& take = takes[random.below(takes.size())];
    std::size_t k = errors.empty() ? random.below(take.size()) : 0;
    for (; k < take.size() && errors.size() < count; ++k) errors.push_back(flipped ? random.sign() * take[k] : take[k]);
  }
  return errors;
}

}  // namespace

bool has_real_residuals() {
  return !real_residuals().empty();
}

std::vector<double> noise_of(Noise noise, std::size_t count, double spread_cents, Random& random) {
  if (noise == Noise::real || noise == Noise::real_flipped) {
    std::vector<double> errors = real(count, noise == Noise::real_flipped, random);
    for (double& error : errors) error *= spread_cents / real_spread_cents;
    return errors;
  }
  std::vector<double> errors(count);
  const bool heavy = noise == Noise::t4 || noise == Noise::all;
  for (double& error : errors) error = heavy ? heavy_tailed(random) : random.normal();
  if (noise == Noise::memory_30 || noise == Noise::all) remember(errors, 0.3);
  if (noise == Noise::memory_60) remember(errors, 0.6);
  for (double& error : errors) error *= spread_cents;
  if (noise == Noise::drift || noise == Noise::all) bend(errors, random.sign() * spread_cents);
  return errors;
}

std::vector<Planted> groups_of_size(const std::vector<Line>& from_lines, std::vector<habits::Family> families,
                                    std::size_t from, std::size_t to) {
  std::vector<Planted> planted;
  for (const Line& line : from_lines) {
    std::map<habits::GroupName, std::vector<int>> members;
    for (std::size_t i = 0; i < line.names.size(); ++i)
      for (const habits::GroupName& name : line.names[i]) members[name].push_back(static_cast<int>(i));
    for (const auto& [name, indices] : members) {
      const bool wanted = std::find(families.begin(), families.end(), name.family) != families.end();
      const bool size = indices.size() >= from && indices.size() <= to && 2 * indices.size() <= line.names.size();
      if (wanted && size) planted.push_back({&line, name, indices});
    }
  }
  return planted;
}

constexpr double tolerance_cents = 25;  // the default of `Settings`

std::vector<NoteResult> take_of(const Melody& melody, const std::vector<double>& cents, double se_cents) {
  std::vector<NoteResult> notes(melody.notes.size());
  for (std::size_t i = 0; i < notes.size(); ++i) {
    notes[i].index = static_cast<int>(i);
    notes[i].verdict = std::fabs(cents[i]) <= tolerance_cents ? Verdict::in_tune
                       : cents[i] > 0                         ? Verdict::sharp
                                                              : Verdict::flat;
    notes[i].errors.own_cents = cents[i];
    notes[i].se_cents = se_cents;
  }
  return notes;
}

bool names(const HabitRow& row, const habits::GroupName& name, bool confounders) {
  if (row.group == to_string(name.family) && row.name == name.name && row.direction == name.direction) return true;
  const std::string full = habits::full_name(name);
  for (const std::string& other : row.aliases)
    if (other == full || other == "all but " + full) return true;
  if (!confounders) return false;
  for (const std::string& other : row.confounders)
    if (other == full || other == "all but " + full) return true;
  return false;
}

bool overlaps(const HabitRow& row, const std::vector<int>& indices) {
  std::size_t common = 0;
  for (const int index : row.indices) common += std::find(indices.begin(), indices.end(), index) != indices.end();
  return 4 * common * common >= row.indices.size() * indices.size();
}

std::vector<HabitRow> chronic(const std::vector<HabitRow>& rows) {
  std::vector<HabitRow> found;
  for (const HabitRow& row : rows)
    if (row.decision == HabitDecision::chronic) found.push_back(row);
  return found;
}

std::vector<HabitRow> chronic(const std::vector<SharedHabit>& rows) {
  std::vector<HabitRow> all;
  for (const SharedHabit& habit : rows) all.push_back(habit.row);
  return chronic(all);
}

void add_wander(std::vector<double>& errors, const Line& line, double cents, Random& random) {
  std::map<habits::GroupName, double> offsets;
  for (std::size_t k = 0; k < errors.size(); ++k)
    for (const habits::GroupName& name : line.names[k]) {
      if (name.family != habits::Family::interval) continue;
      const auto [at, is_new] = offsets.try_emplace(name, 0.0);
      if (is_new) at->second = cents * random.normal();
      errors[k] += at->second;
    }
}

}  // namespace firmus::simulation
