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

constexpr int quick_takes = 200, enough_for_no_margin = 2000;

}  // namespace

int takes_to_simulate() {
  const int takes = wanted() ? std::atoi(wanted()) : quick_takes;
  return takes > 0 ? takes : quick_takes;
}

double Rate::margin(double target) const {
  const bool exact = takes_to_simulate() >= enough_for_no_margin;
  return exact || trials_ == 0 ? 0 : 3 * std::sqrt(target * (1 - target) / trials_);
}

void tell(const std::string& what, double value) {
  if (wanted()) fmt::print("{:<70} {:6.3f}\n", what, value);
}

}  // namespace firmus::simulation
