// The two halves of read_melody, for whoever needs the sheet itself.
#pragma once
#include "sheet.hpp"

namespace firmus::sheet {

/// The sheet with its order and bars. Throws InputError.
Sheet read_sheet(std::string_view text, const std::string& file, Diagnostics& warnings);

/// The notes of a sheet and everything said about them but text, sha256 and warnings. Throws InputError.
Melody play_sheet(const Sheet& sheet, const std::string& file);

}  // namespace firmus::sheet
