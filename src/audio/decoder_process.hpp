// Runs the program that the user names to convert a file to WAV.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "audio_format.hpp"

namespace firmus::audio {

/// Everything that the decoder writes for `path`. `command` as in ReadOptions. Throws TakeError "unreadable" with the
/// last line of the program's messages when it fails, and InputError when the command is invalid.
std::string run_decoder(const std::string& command, const std::string& path);

/// What ffmpeg writes for a file of this format, as WAV; none where there is no ffmpeg in PATH. Throws TakeError
/// "unreadable" where it fails.
std::optional<std::string> run_ffmpeg(const std::string& path, const AudioFormat& format, double longest_s);

}  // namespace firmus::audio
