// What a reader left out or guessed: one line for each kind, with the bars in which it happened.
#pragma once
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"

namespace firmus::score {

class Remarks {
 public:
  /// `what` reads on after the bars: "bars 3 and 5: the chords are left out ...". `remedy` may be empty.
  void add(std::string what, int bar, std::string remedy = {});
  /// Concerns the file as a whole.
  void add_whole(std::string what, std::string remedy = {});
  std::vector<Problem> listed(const std::string& file) const;

 private:
  struct Entry {
    std::string what, remedy;
    std::set<int> bars;
  };
  Entry& entry(std::string what, std::string remedy);
  std::vector<Entry> entries_;
};

}  // namespace firmus::score
