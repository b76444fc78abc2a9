#include "targets.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string_view>

namespace firmus::simulation {
namespace {

const char* wanted() {
  return std::getenv("FIRMUS_HABIT_TAKES");
}

constexpr int quick_takes = 200, enough_for_no_margin = 2000;  // trials

}  // namespace

int takes_to_simulate() {
  const int takes = wanted() ? std::atoi(wanted()) : quick_takes;
  return takes > 0 ? takes : quick_takes;
}

double Rate::margin(double target) const {
  if (trials_ == 0 || trials_ >= enough_for_no_margin) return 0;
  // Figures over several takes have fewer trials than takes: 667 of 4000 takes in groups of 6.
  const int standard_errors = takes_to_simulate() >= enough_for_no_margin ? 2 : 3;
  return standard_errors * std::sqrt(target * (1 - target) / trials_);
}

void tell(const std::string& what, double value) {
  if (wanted()) fmt::print("{:<70} {:6.3f}\n", what, value);
}

}  // namespace firmus::simulation
