// Substitutions: notes that are sung as another note again and again.
#pragma once
#include <span>
#include <string>
#include <vector>

#include "firmus/habits.hpp"

namespace firmus::habits {

/// Written notes (by name, "C#5") of which at least two places, and at least half of those judged in all takes, were
/// sung as one other note of the tuning (Verdict::other_note), the most frequent first. Each is a chronic row of the
/// group `substitution` with the name "C#5>C5": `count` are the judged places of the written note, `same_way` those
/// sung as the other one, which `indices`, `places` and the mean error are about. There is no test, so no p.
std::vector<SharedHabit> find_substitutions(std::span<const HabitTake> takes);

/// How often the written note of a substitution ("C#5>C5") was judged, and how often it was sung as the other one.
struct SubstitutionCount {
  std::size_t places = 0, times = 0;
};
SubstitutionCount count_substitution(std::span<const HabitTake> takes, const std::string& name);

}  // namespace firmus::habits
