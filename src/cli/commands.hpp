// One function a command; each has its own file.
#pragma once
#include "exit_status.hpp"

namespace firmus::cli {

/// The arguments after the command's name. Throw InputError and WriteError.
ExitStatus run_check(int argc, const char* const* argv);
ExitStatus run_grade(int argc, const char* const* argv);
ExitStatus run_drill(int argc, const char* const* argv);
ExitStatus run_melody(int argc, const char* const* argv);
ExitStatus run_pitch(int argc, const char* const* argv);
ExitStatus run_tone(int argc, const char* const* argv);
ExitStatus run_trend(int argc, const char* const* argv);

}  // namespace firmus::cli
