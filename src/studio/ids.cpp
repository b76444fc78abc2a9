#include <array>
#include <chrono>
#include <optional>

#include "base/ascii.hpp"
#include "base/base.hpp"
#include "firmus/studio.hpp"

namespace firmus {
namespace {

constexpr std::size_t longest_id_bytes = 64;

/// Names of files (without extension) and folders that every assignment writes.
constexpr std::array<std::string_view, 7> taken{"class",   "failures", "gradebook", "marks",
                                                "private", "results",  "written"};

std::optional<int> digits(std::string_view text) {
  int value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return std::nullopt;
    value = value * 10 + (c - '0');
  }
  return value;
}

}  // namespace

std::string fault_of_id(std::string_view text) {
  if (text.empty()) return "is empty";
  if (text.size() > longest_id_bytes) return "is longer than 64 bytes";
  if (display_name(text) != text) return "holds control characters or is not UTF-8";
  if (text.front() == '.') return "begins with a dot";
  if (text.find_first_of("/\\:*?\"<>|") != std::string_view::npos) return "holds one of / \\ : * ? \" < > |";
  for (const std::string_view name : taken)
    if (lower_ascii(text) == name) return "is the name of a file that every assignment writes";
  return {};
}

bool is_date(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return false;
  const auto year = digits(text.substr(0, 4)), month = digits(text.substr(5, 2)), day = digits(text.substr(8, 2));
  if (!year || !month || !day) return false;
  return std::chrono::year_month_day(std::chrono::year(*year), std::chrono::month(static_cast<unsigned>(*month)),
                                     std::chrono::day(static_cast<unsigned>(*day)))
      .ok();
}

}  // namespace firmus
