// The ffmpeg command line that converts a file to WAV, ready to paste into a shell.
#pragma once
#include <string>

namespace firmus::audio {

/// "ffmpeg -i song.m4a song.wav". All channels are kept: the sum of two channels in opposite phase would be silence.
std::string ffmpeg_command(const std::string& path);

}  // namespace firmus::audio
