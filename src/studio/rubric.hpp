// Reads a rubric that is part of other JSON.
#pragma once
#include "firmus/studio.hpp"
#include "strict_object.hpp"

namespace firmus::studio {

/// Reads the rubric; errors go to `problems`.
Rubric rubric_in(const JsonIn& in, Diagnostics& problems);

}  // namespace firmus::studio
