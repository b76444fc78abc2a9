#include "habit_words.hpp"

#include <fmt/format.h>

#include <array>
#include <utility>

#include "interval_words.hpp"

namespace firmus::report {
namespace {

std::string degree_in_words(std::string_view name) {
  const std::size_t space = name.rfind(' ');
  const std::string number(name.substr(space == std::string_view::npos ? 0 : space + 1));
  const std::string altered = space == std::string_view::npos ? "" : std::string(name.substr(0, space)) + " ";
  const char* ending = number == "1" ? "st" : number == "2" ? "nd" : number == "3" ? "rd" : "th";
  return fmt::format("the {}{}{} degree", altered, number, ending);
}

struct Words {
  std::string_view group, name, words;
};
constexpr std::array fixed_words{Words{"place", "first", "first notes of phrases"},
                                 Words{"place", "last", "last notes of phrases"},
                                 Words{"approach", "step", "notes reached by step"},
                                 Words{"approach", "leap", "notes reached by leap"},
                                 Words{"approach", "repeat", "repeated notes"},
                                 Words{"line", "rising", "notes reached from below"},
                                 Words{"line", "falling", "notes reached from above"},
                                 Words{"length", "short", "short notes"},
                                 Words{"length", "long", "long notes"},
                                 Words{"register", "low", "the low notes"},
                                 Words{"register", "middle", "the notes of the middle register"},
                                 Words{"register", "high", "the high notes"}};

}  // namespace

std::string group_in_words(std::string_view group, std::string_view name, const std::optional<Direction>& direction) {
  if (group == "interval") return interval_in_words(name, direction) + "s";
  if (group == "degree") return degree_in_words(name);
  for (const Words& words : fixed_words)
    if (words.group == group && words.name == name) return std::string(words.words);
  return std::string(name);  // the name of a note or a spot
}

std::string group_in_words(const HabitRow& habit) {
  return group_in_words(habit.group, habit.name, habit.direction);
}

std::string full_name_in_words(std::string_view full) {
  const std::size_t space = full.find(' ');
  if (space == std::string_view::npos) return std::string(full);
  const std::string_view group = full.substr(0, space);
  std::string_view name = full.substr(space + 1);
  std::optional<Direction> direction;
  const std::size_t last = name.rfind(' ');
  if (group == "interval" && last != std::string_view::npos)
    for (const Direction way : {Direction::up, Direction::down, Direction::same})
      if (name.substr(last + 1) == to_string(way)) direction = way;
  if (direction) name = name.substr(0, last);
  return group_in_words(group, name, direction);
}

}  // namespace firmus::report
