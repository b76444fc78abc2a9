#include "drill_aim.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "beats.hpp"
#include "source.hpp"

namespace firmus {
namespace melody {
namespace {

constexpr int most_drill_notes = 20000;
constexpr int largest_size_cents = 1200;  // a note an octave off
// The groups of habits in results.
constexpr std::array<std::string_view, 10> groups{"substitution", "interval", "degree", "note",   "register",
                                                  "place",        "approach", "line",   "length", "spot"};

std::optional<Direction> direction_of(std::string_view word) {
  for (const Direction direction : {Direction::up, Direction::down, Direction::same})
    if (word == to_string(direction)) return direction;
  return std::nullopt;
}

/// "notes 2 4 6"; empty for any other text.
std::vector<int> notes_of(std::string_view text) {
  const auto words = split_words(text);
  if (words.size() < 2 || (words[0] != "notes" && words[0] != "note")) return {};
  std::vector<int> notes;
  for (std::size_t i = 1; i < words.size(); ++i) {
    const auto number = parse_whole(words[i], 1, most_drill_notes);
    if (!number) return {};
    notes.push_back(*number - 1);
  }
  std::sort(notes.begin(), notes.end());
  notes.erase(std::unique(notes.begin(), notes.end()), notes.end());
  return notes;
}

}  // namespace

std::optional<DrillAim> parse_drill_aim(std::string_view text) {
  const std::size_t semicolon = text.find(';');
  if (semicolon == std::string_view::npos) return std::nullopt;
  auto words = split_words(text.substr(0, semicolon));
  DrillAim aim;
  if (words.size() > 2 && words[1] == "by") {
    aim.size_cents = parse_whole(words[2], 0, largest_size_cents);
    if (!aim.size_cents) return std::nullopt;
    words.erase(words.begin() + 1, words.begin() + 3);
  }
  if (words.size() < 4 || (words[0] != "flat" && words[0] != "sharp") || words[1] != "on") return std::nullopt;
  if (std::find(groups.begin(), groups.end(), words[2]) == groups.end()) return std::nullopt;
  aim.flat = words[0] == "flat";
  aim.group = words[2];
  if (words.size() > 4) aim.direction = direction_of(words.back());
  if (aim.direction) words.pop_back();
  aim.name = fmt::format("{}", fmt::join(words.begin() + 3, words.end(), " "));
  aim.notes = notes_of(text.substr(semicolon + 1));
  if (aim.notes.empty()) return std::nullopt;
  return aim;
}

}  // namespace melody

std::string drill_aim_text(const DrillAim& aim) {
  const std::string size = aim.size_cents ? fmt::format(" by {}", *aim.size_cents) : "";
  std::string text = fmt::format("{}{} on {} {}", aim.flat ? "flat" : "sharp", size, aim.group, aim.name);
  if (aim.direction) text += fmt::format(" {}", to_string(*aim.direction));
  text += "; notes";
  for (const int note : aim.notes) text += fmt::format(" {}", note + 1);
  return text;
}

}  // namespace firmus
