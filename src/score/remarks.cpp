#include "remarks.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace firmus::score {
namespace {

constexpr std::size_t most_kinds = 20;

/// "bar 3: ", "bars 3, 5 to 7: ".
std::string bars_text(const std::set<int>& bars) {
  if (bars.empty()) return {};
  constexpr std::size_t most_ranges = 8;
  std::vector<std::pair<int, int>> ranges;
  for (const int bar : bars) {
    if (!ranges.empty() && ranges.back().second + 1 == bar)
      ranges.back().second = bar;
    else
      ranges.emplace_back(bar, bar);
  }
  std::string text;
  for (std::size_t i = 0; i < std::min(ranges.size(), most_ranges); ++i) {
    const auto [first, last] = ranges[i];
    text += i > 0 ? ", " : "";
    text += first == last ? fmt::format("{}", first) : fmt::format("{} to {}", first, last);
  }
  if (ranges.size() > most_ranges) text += ", ...";
  return fmt::format("{} {}: ", bars.size() == 1 ? "bar" : "bars", text);
}

}  // namespace

Remarks::Entry& Remarks::entry(std::string what, std::string remedy) {
  const auto found =
      std::find_if(entries_.begin(), entries_.end(), [&](const Entry& known) { return known.what == what; });
  if (found != entries_.end()) return *found;
  if (entries_.size() == most_kinds) return entries_.back();
  entries_.push_back({std::move(what), std::move(remedy), {}});
  return entries_.back();
}

void Remarks::add(std::string what, int bar, std::string remedy) {
  entry(std::move(what), std::move(remedy)).bars.insert(bar);
}

void Remarks::add_whole(std::string what, std::string remedy) {
  entry(std::move(what), std::move(remedy));
}

std::vector<Problem> Remarks::listed(const std::string& file) const {
  std::vector<Problem> problems;
  for (const Entry& entry : entries_) {
    problems.push_back({{file, 0, 0}, bars_text(entry.bars) + entry.what, entry.remedy});
  }
  return problems;
}

}  // namespace firmus::score
