// Where a fault happened in the takes of the student: a table of notes, with controls to play each.
#pragma once
#include <string>
#include <vector>

#include "firmus/practice.hpp"
#include "html.hpp"

namespace firmus::page {

/// The takes in which faults happened, each with a name that is unique on the page: "kite, 2031-05-05", with a number
/// where two names would be equal.
class NamedTakes {
 public:
  explicit NamedTakes(const Practice& practice);
  std::size_t number_of(const Result& take) const;
  const std::string& name(std::size_t number) const { return names_[number]; }

 private:
  std::vector<const Result*> takes_;
  std::vector<std::string> names_;
};

/// The places of one fault with their controls. All ids begin with `prefix`. Nothing when the fault has no places.
void add_fault_places(Html& html, const PracticeFault& fault, const NamedTakes& takes, std::string_view prefix);

}  // namespace firmus::page
