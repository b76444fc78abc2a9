// The command line: options, help, the terminal and the exit status.
#pragma once

namespace firmus {

/// Runs `firmus` with the arguments of main and returns its exit status: 0 done, 1 a take was not measured, 2 the
/// command line or an input is wrong, 3 a take is below --require, 4 a result could not be written, 5 the
/// program itself failed (memory, threads, an error of its own), which ends it at once. Where several
/// apply, the first of 2, 4, 1, 3. On SIGINT or SIGTERM it does not return: finished results stay on disk and the
/// program ends with status 130 or 143.
int run_program(int argc, char** argv);

}  // namespace firmus
