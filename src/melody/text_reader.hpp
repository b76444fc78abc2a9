// The melody text format -> Sheet.
#pragma once
#include <string_view>

#include "sheet.hpp"

namespace firmus::sheet {

/// Errors and warnings go to the collectors; what could be read is returned all the same.
Sheet read_text(std::string_view text, Diagnostics& errors, Diagnostics& warnings);

}  // namespace firmus::sheet
