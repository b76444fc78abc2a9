// Files that are not finished: PATH.PROCESS.part, renamed to PATH when they are whole.
#pragma once
#include <functional>
#include <string>

namespace firmus {

/// The name under which this process writes `path` until it is whole.
std::string partial_path(const std::string& path);

/// Removes from `folder` the partial files of processes that have ended without finishing them, where `is_ours` holds
/// for the name that the finished file would have.
void remove_abandoned_files(const std::string& folder, const std::function<bool(const std::string& name)>& is_ours);

}  // namespace firmus
