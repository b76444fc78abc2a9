// One function for each command, each in a file of its own.
#pragma once
#include "exit_status.hpp"

namespace firmus::cli {

/// They take the arguments after the name of the command and throw InputError and WriteError.
ExitStatus run_check(int argc, const char* const* argv);
ExitStatus run_grade(int argc, const char* const* argv);
ExitStatus run_drill(int argc, const char* const* argv);
ExitStatus run_melody(int argc, const char* const* argv);
ExitStatus run_pitch(int argc, const char* const* argv);
ExitStatus run_tone(int argc, const char* const* argv);
ExitStatus run_trend(int argc, const char* const* argv);

}  // namespace firmus::cli
