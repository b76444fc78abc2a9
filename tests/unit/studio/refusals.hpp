// The errors that a reader throws, as lines.
#pragma once
#include <string>

#include "firmus/error.hpp"

namespace firmus::testing {

/// The lines of the error that `read` throws, each ended by a line break; empty when it throws nothing.
template <class Read>
std::string refusal(const Read& read) {
  try {
    (void)read();
  } catch (const InputError& error) {
    std::string lines;
    for (const Problem& problem : error.problems()) lines += to_line(problem) + "\n";
    return lines;
  }
  return "";
}

}  // namespace firmus::testing
