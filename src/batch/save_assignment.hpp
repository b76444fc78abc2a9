// Writes an assignment file: what options said, to be used again.
#pragma once
#include <string>

#include "firmus/studio.hpp"

namespace firmus::batch {

/// Paths are written relative to the folder of `file`. A file that is there already is left alone where it says the
/// same. Throws InputError where it says something else, and WriteError.
void save_assignment(const Assignment& assignment, const std::string& file);

}  // namespace firmus::batch
