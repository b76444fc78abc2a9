// The command line that turns a take into one that can be read, ready to paste into a shell.
#pragma once
#include <string>

namespace firmus::audio {

/// `word` as a POSIX shell reads it as one word: as it is where nothing in it is special, else in quotes.
std::string shell_word(const std::string& word);

/// "ffmpeg -i song.m4a song.wav". All channels stay: a sum of two that a phone recorded out of phase would be silence.
std::string ffmpeg_command(const std::string& path);

}  // namespace firmus::audio
