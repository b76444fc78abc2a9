// Collects the problems of a file, so that several are reported at once.
#pragma once
#include <compare>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"

namespace firmus {

/// Line and column in a file, both from 1; 0, 0 is the file as a whole.
struct SourcePosition {
  int line = 0;
  int column = 0;
  friend auto operator<=>(const SourcePosition&, const SourcePosition&) = default;
};

/// Problems of one file: at most one for each position and twenty in all; the others are only counted.
class Diagnostics {
 public:
  static constexpr std::size_t most_listed = 20;
  Diagnostics(std::string file, std::string kind) : file_(std::move(file)), kind_(std::move(kind)) {}
  void add(SourcePosition position, std::string what, std::string remedy = {});
  bool any() const { return !places_.empty(); }
  /// Ordered by position; the last one may give the number of those not listed ("and 7 more errors").
  std::vector<Problem> listed() const;
  void throw_if_any() const;

 private:
  std::string file_, kind_;
  std::set<SourcePosition> places_;
  std::vector<Problem> problems_;
};

/// The text in double quotes, cut after 40 bytes.
std::string in_quotes(std::string_view text);

}  // namespace firmus
