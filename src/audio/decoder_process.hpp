// A program of the user's choice that turns a file into WAV on its standard output.
#pragma once
#include <string>
#include <vector>

namespace firmus::audio {

/// What the decoder writes for `path`, whole. `command` as in ReadOptions. Throws TakeError "unreadable" with the
/// program's last line when it fails, and InputError when the command makes no sense.
std::string run_decoder(const std::string& command, const std::string& path);

}  // namespace firmus::audio
