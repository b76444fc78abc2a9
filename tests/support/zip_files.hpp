// Zip archives in memory. Needs libzip.
#pragma once
#include <string>
#include <utility>
#include <vector>

/// An archive of files, deflated: names with their contents.
std::string zip_archive(const std::vector<std::pair<std::string, std::string>>& files);
