// Runs the program that the user names to convert a file to WAV.
#pragma once
#include <string>
#include <vector>

namespace firmus::audio {

/// Everything that the decoder writes for `path`. `command` as in ReadOptions. Throws TakeError "unreadable" with the
/// last line of the program's messages when it fails, and InputError when the command is invalid.
std::string run_decoder(const std::string& command, const std::string& path);

}  // namespace firmus::audio
