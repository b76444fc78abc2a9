// Quoting for commands that users paste into a shell.
#pragma once
#include <string>
#include <string_view>

namespace firmus {

/// How a word with characters that must not reach a terminal is written in $'...' (bash, zsh, ksh).
enum class ShellEscapes {
  octal,       ///< control characters, and all bytes outside ASCII of a word that is not UTF-8, as \033
  hexadecimal  ///< control characters alone, as \x1b; = is quoted too
};

/// `word` so that a POSIX shell reads it as one word: unchanged where no character in it is special.
std::string shell_word(std::string_view word, ShellEscapes escapes = ShellEscapes::octal);
/// The same for a file that must not be taken for an option: "./-x.wav".
std::string shell_path(std::string_view path);

}  // namespace firmus
