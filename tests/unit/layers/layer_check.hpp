// Reads the #include lines of the tree and says which of them run against the order of the stages.
#pragma once
#include <string>
#include <string_view>
#include <vector>

namespace firmus::layers {

/// One source file: its path from the project's root, with '/', and its text.
struct SourceFile {
  std::string path;
  std::string text;
};

/// One line for each forbidden include, "src/audio/wav.cpp:3: ...", in the order of the files. A file of src/STAGE may
/// include "firmus/X.hpp" where X is STAGE or precedes it, and files of its own folder; each outside library belongs to
/// one stage. Data that the build embeds (.inc) is free. A folder of src/ or a header that the order
/// does not know is a finding too.
std::vector<std::string> wrong_includes(const std::vector<SourceFile>& files);

/// One line for each thing in a header of include/ that needs more than firmus and a C++ compiler: an include that is
/// neither "firmus/..." nor of the C++ standard library, a compiler's own attribute, builtin or pragma.
std::vector<std::string> public_header_faults(const std::vector<SourceFile>& files);

/// The stages as far as `take` that the list of the measurement version leaves out, in order. `list` is the text of
/// src/take/measurement_version.cmake; all of them where it holds no "set(measuring_stages ...)".
std::vector<std::string> stages_without_version(std::string_view list);

/// All .cpp, .hpp and .inc files under include/firmus and src of the tree at `root`, by path.
std::vector<SourceFile> read_sources(const std::string& root);

}  // namespace firmus::layers
