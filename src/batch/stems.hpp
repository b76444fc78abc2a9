// Names under which the results of takes are written.
#pragma once
#include <string>

namespace firmus::batch {

/// "week 3/ana.flac" -> "ana"; "-" -> "standard-input".
std::string stem_of(const std::string& take);

}  // namespace firmus::batch
