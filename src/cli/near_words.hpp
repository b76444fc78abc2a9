// Which of the words that exist was meant by one that does not.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace firmus::cli {

/// The one of `known` that is nearest to `typed`: by the number of letters inserted, deleted, replaced or swapped with
/// their neighbour (Damerau, Comm. ACM 7, 1964), at most one for each three letters typed; or else the only one that
/// begins with it. None where two are as near: a guess would be wrong half of the time.
std::optional<std::string> nearest_word(std::string_view typed, const std::vector<std::string>& known);

}  // namespace firmus::cli
