// The files of a folder that may be takes.
#pragma once
#include <string>
#include <vector>

namespace firmus::cli {

/// What to do with files that are no recordings by their names (.melody .csv .json .txt ...): with a roster they are
/// listed as nobody's; without one each would be a student.
enum class Others { listed, passed_over };

/// Names in the folder, sorted by bytes: no folders, nothing hidden, none of `inputs` (paths). Throws InputError when
/// it is no folder that can be read.
std::vector<std::string> names_in(const std::string& folder, const std::vector<std::string>& inputs, Others others);

}  // namespace firmus::cli
