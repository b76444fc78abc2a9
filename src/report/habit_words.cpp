#include "habit_words.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

#include "interval_words.hpp"

namespace firmus::report {
namespace {

/// "the 3rd of the scale", "the leading note (raised 7th)"; of "3 of G major" "the 3rd of G major".
std::string degree_in_words(std::string_view name) {
  const std::size_t of = std::min(name.find(" of "), name.size());
  const std::string scale = of == name.size() ? " of the scale" : std::string(name.substr(of));
  if (name == "raised 7") return "the leading note (raised 7th)";
  name = name.substr(0, of);
  const std::size_t space = name.rfind(' ');
  const std::string number(name.substr(space == std::string_view::npos ? 0 : space + 1));
  const std::string altered = space == std::string_view::npos ? "" : std::string(name.substr(0, space)) + " ";
  const char* ending = number == "1" ? "st" : number == "2" ? "nd" : number == "3" ? "rd" : "th";
  return fmt::format("the {}{}{}{}", altered, number, ending, scale);
}

/// "C sharp" for "C#5"; the octave is told where it alone is another one.
std::string note_in_words(const SpelledPitch& pitch, bool with_octave) {
  constexpr std::array<std::string_view, 5> accidentals{" double flat", " flat", "", " sharp", " double sharp"};
  const std::string octave = with_octave ? std::to_string(pitch.octave) : "";
  return pitch.letter + octave + std::string(accidentals[static_cast<std::size_t>(pitch.alter + 2)]);
}

/// "C instead of C sharp" for "C#5>C5".
std::string substitution_in_words(std::string_view name) {
  const std::size_t arrow = std::min(name.find('>'), name.size());
  const auto written = parse_pitch(name.substr(0, arrow));
  const auto sung = parse_pitch(name.substr(std::min(arrow + 1, name.size())));
  if (!std::holds_alternative<SpelledPitch>(written) || !std::holds_alternative<SpelledPitch>(sung))
    return std::string(name);
  const auto &from = std::get<SpelledPitch>(written), &to = std::get<SpelledPitch>(sung);
  const bool octaves = from.letter == to.letter && from.alter == to.alter;
  return note_in_words(to, octaves) + " instead of " + note_in_words(from, octaves);
}

struct Words {
  std::string_view group, name, words;
};
constexpr std::array fixed_words{Words{"place", "first", "phrase beginnings"},
                                 Words{"place", "last", "phrase endings"},
                                 Words{"approach", "step", "notes after a step"},
                                 Words{"approach", "leap", "notes after a leap"},
                                 Words{"approach", "repeat", "repeated notes"},
                                 Words{"line", "rising", "notes reached by moving up"},
                                 Words{"line", "falling", "notes reached by moving down"},
                                 Words{"length", "short", "short notes"},
                                 Words{"length", "long", "long notes"},
                                 Words{"register", "low", "low notes"},
                                 Words{"register", "middle", "the middle of the range"},
                                 Words{"register", "high", "high notes"}};

}  // namespace

std::string group_in_words(std::string_view group, std::string_view name, const std::optional<Direction>& direction) {
  if (group == "interval") return interval_in_words(name, direction) + "s";
  if (group == "degree") return degree_in_words(name);
  if (group == "substitution") return substitution_in_words(name);
  for (const Words& words : fixed_words)
    if (words.group == group && words.name == name) return std::string(words.words);
  return std::string(name);  // the name of a note or a spot
}

std::string group_in_words(const HabitRow& habit) {
  return group_in_words(habit.group, habit.name, habit.direction);
}

bool is_substitution(const HabitRow& habit) {
  return habit.group == "substitution";
}

bool is_one(const HabitRow& habit) {
  if (habit.group == "register") return habit.name == "middle";
  return habit.group == "degree" || habit.group == "note" || habit.group == "spot";
}

std::string sentence_case(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

std::string times_in_words(const HabitRow& habit) {
  if (habit.same_way == habit.count) return fmt::format("all {}", habit.count);
  return fmt::format("{} of {}", habit.same_way, habit.count);
}

std::string habit_in_words(const HabitRow& habit, std::string_view places) {
  const std::string times = fmt::format(" ({}{}{})", times_in_words(habit), places.empty() ? "" : ": ", places);
  if (is_substitution(habit)) return group_in_words(habit) + times;
  return fmt::format("{} {} {}{}", group_in_words(habit), is_one(habit) ? "is" : "are", cents_off(habit.mean_cents),
                     times);
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
