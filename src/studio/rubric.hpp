// A rubric within other JSON.
#pragma once
#include "firmus/studio.hpp"
#include "strict_object.hpp"

namespace firmus::studio {

Rubric rubric_in(const JsonIn& in, Diagnostics& problems);

}  // namespace firmus::studio
