// What a run that was killed had half written: NAME.PROCESS.part, as `write_whole_file` names what is not finished.
#pragma once
#include <functional>
#include <string>

namespace firmus::cli {

/// Removes from `folder` each NAME.PROCESS.part whose process is gone and whose NAME `is_ours`.
void clear_half_written(const std::string& folder, const std::function<bool(const std::string& name)>& is_ours);

}  // namespace firmus::cli
