// Names as a shell reads them back, for commands that people paste.
#pragma once
#include <string>
#include <string_view>

namespace firmus::cli {

/// `word` so that a POSIX shell (for control characters and stray bytes: bash, zsh, ksh) reads it as one word again.
std::string shell_word(std::string_view word);
/// The same for a file that must not be taken for an option: "./-x.wav".
std::string shell_path(std::string_view path);

}  // namespace firmus::cli
