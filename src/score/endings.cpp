#include "endings.hpp"

#include <algorithm>
#include <set>

namespace firmus::score {

std::vector<int> ending_numbers(std::string_view text) {
  constexpr int highest = 99;
  std::set<int> numbers;
  int before = 0;
  bool range = false;
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] < '0' || text[i] > '9') {
      range = range || text[i] == '-';
      if (text[i] == ',') range = false;
      ++i;
      continue;
    }
    int number = 0;
    while (i < text.size() && text[i] >= '0' && text[i] <= '9')
      number = std::min(10 * number + (text[i++] - '0'), highest + 1);
    if (number < 1 || number > highest) continue;
    for (int n = range && before > 0 ? before : number; n <= number; ++n) numbers.insert(n);
    before = number;
    range = false;
  }
  if (numbers.empty()) return {1};
  return {numbers.begin(), numbers.end()};
}

}  // namespace firmus::score
