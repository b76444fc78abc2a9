// The command line: options, many takes at once, files and streams. The only stage that a terminal or a file system
// sees.
#pragma once

namespace firmus {

/// Runs `firmus` with the arguments of main and gives its exit status: 0 done, 1 a take was not measured, 2 the command
/// line or an input is wrong, 3 a take is below --require, 4 a result could not be written; the first that holds of 2,
/// 4, 1, 3. On SIGINT or SIGTERM it does not return: finished results are kept and the status is 130 or 143.
int run_program(int argc, char** argv);

}  // namespace firmus
