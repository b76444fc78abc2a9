// The files of a folder that may be takes.
#pragma once
#include <string>
#include <vector>

namespace firmus::batch {

/// What to do with files whose extension says that they are no recordings (.melody .csv .json .txt ...). With a roster
/// they are listed as belonging to no student; without one each name would be taken for a student.
enum class NonAudioFiles { list, skip };

/// Names in the folder, sorted by bytes; without folders, hidden files and those of `inputs` (paths) that are in it.
/// Throws InputError when it cannot be read as a folder.
std::vector<std::string> names_in(const std::string& folder, const std::vector<std::string>& inputs,
                                  NonAudioFiles non_audio);

}  // namespace firmus::batch
