// The ffmpeg command line that converts a file to WAV, ready to paste into a shell.
#pragma once
#include <string>
#include <vector>

namespace firmus::audio {

/// "ffmpeg -i song.m4a song.wav". All channels are kept: the sum of two channels in opposite phase would be silence.
std::string ffmpeg_command(const std::string& path);

/// The words of a command that writes the first sound of the file to its standard output as WAV: no shell, no other
/// protocol than files, the container as detected, `longest_s` of sound at most, bounds on memory and on processor
/// time.
std::vector<std::string> ffmpeg_words(const std::string& path, const std::string& demuxer, double longest_s);

}  // namespace firmus::audio
