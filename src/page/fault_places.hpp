// Where a fault happened in the takes of whoever practises: a table of notes, each to be heard.
#pragma once
#include <string>
#include <vector>

#include "firmus/practice.hpp"
#include "html.hpp"

namespace firmus::page {

/// The takes that a plan names places of, and a name for each: "kite, 2031-05-05", with a number where two would be
/// called the same.
class NamedTakes {
 public:
  explicit NamedTakes(const Practice& practice);
  std::size_t number_of(const Result& take) const;
  const std::string& name(std::size_t number) const { return names_[number]; }

 private:
  std::vector<const Result*> takes_;
  std::vector<std::string> names_;
};

/// The places of one fault with their controls; `prefix` keeps the ids apart. Nothing where there are none.
void add_fault_places(Html& html, const PracticeFault& fault, const NamedTakes& takes, std::string_view prefix);

}  // namespace firmus::page
