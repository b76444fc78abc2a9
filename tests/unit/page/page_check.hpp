// Requirements that every page must meet.
#pragma once
#include <string>
#include <vector>

namespace firmus::page {

/// The defects of a page, in words: not well formed, no language or title, headings out of order, ids twice,
/// pictures without a text alternative, tables without headers, anything that is fetched or run.
std::vector<std::string> faults_of(const std::string& html);

}  // namespace firmus::page
