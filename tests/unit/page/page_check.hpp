// What every page must keep.
#pragma once
#include <string>
#include <vector>

namespace firmus::page {

/// What is wrong with a page, in words: not well formed, no language or title, headings out of order, ids twice,
/// pictures without a text alternative, tables without headers, anything that is fetched or run.
std::vector<std::string> faults_of(const std::string& html);

}  // namespace firmus::page
