// Which takes a command measures.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "firmus/melody.hpp"

namespace firmus::cli {

/// The takes of the command line, then those of the file `list` (one path a line; "-" is standard input). Throws
/// InputError: no takes, an empty name, standard input used twice, a list that cannot be read or is over 16 MiB.
std::vector<std::string> collect_takes(const std::vector<std::string>& named, const std::optional<std::string>& list);

/// Takes of "check TAKE... MELODY" out of `named`: without --melody, a file among two or more names is the melody if
/// its ending says so (.melody, .mid, .midi, .musicxml, .mxl, .abc), or else if it is at most 1 MiB and reads
/// as one. Throws InputError where two files are.
std::optional<std::string> take_out_melody(std::vector<std::string>& named, const LineChoice& line);

/// Each folder among `takes` is replaced by its recordings (sorted, without hidden files, files whose ending says that
/// they are no recording, and the melody). One without any stays, to be told of as a take.
std::vector<std::string> with_folders_opened(const std::vector<std::string>& takes, const std::string& melody);

}  // namespace firmus::cli
