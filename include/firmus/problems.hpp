// Collects what is wrong with a file, so that several errors are told at once.
#pragma once
#include <compare>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"

namespace firmus {

/// Line and column in a file; 0, 0 is the file as a whole.
struct Spot {
  int line = 0;
  int column = 0;
  friend auto operator<=>(const Spot&, const Spot&) = default;
};

/// Problems of one file: one a place, twenty at most, the rest counted.
class Problems {
 public:
  static constexpr std::size_t most_listed = 20;
  Problems(std::string file, std::string kind) : file_(std::move(file)), kind_(std::move(kind)) {}
  void add(Spot spot, std::string what, std::string remedy = {});
  bool any() const { return !places_.empty(); }
  /// By place; a last one says how many more there are ("and 7 more errors").
  std::vector<Problem> listed() const;
  void throw_if_any() const;

 private:
  std::string file_, kind_;
  std::set<Spot> places_;
  std::vector<Problem> problems_;
};

/// The text in double quotes, cut when it is long.
std::string quoted(std::string_view text);

}  // namespace firmus
