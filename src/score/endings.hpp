// The numbers of an ending as they are written: "1", "1,2", "1-3", "1. 2.".
#pragma once
#include <string_view>
#include <vector>

namespace firmus::score {

/// Ascending; {1} where there is none. At most 99.
std::vector<int> ending_numbers(std::string_view text);

}  // namespace firmus::score
