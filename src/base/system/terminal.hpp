// Standard input, output and error of the process.
#pragma once

namespace firmus::system {

bool output_is_terminal();
bool diagnostics_are_terminal();

/// Connects each of descriptors 0 to 2 that is closed to /dev/null, so that no file opened later takes its place.
/// Returns whether standard output was closed.
bool fill_closed_streams();

}  // namespace firmus::system
