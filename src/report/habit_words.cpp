#include "habit_words.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <utility>

#include "interval_words.hpp"

namespace firmus::report {
namespace {

std::string degree_in_words(std::string_view name) {
  if (const std::size_t of = name.find(" of "); of != std::string_view::npos)
    return degree_in_words(name.substr(0, of)) + std::string(name.substr(of));
  const std::size_t space = name.rfind(' ');
  const std::string number(name.substr(space == std::string_view::npos ? 0 : space + 1));
  const std::string altered = space == std::string_view::npos ? "" : std::string(name.substr(0, space)) + " ";
  const char* ending = number == "1" ? "st" : number == "2" ? "nd" : number == "3" ? "rd" : "th";
  return fmt::format("the {}{}{} degree", altered, number, ending);
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

std::string habit_size_in_words(const HabitRow& habit) {
  if (is_substitution(habit)) return fmt::format("{} of {} times", habit.same_way, habit.count);
  return fmt::format("{}, {} of {} times", counted(static_cast<int>(std::llround(std::fabs(habit.mean_cents))), "cent"),
                     habit.same_way, habit.count);
}

std::string habit_in_words(const HabitRow& habit) {
  if (is_substitution(habit)) return group_in_words(habit) + ", " + habit_size_in_words(habit);
  return fmt::format("{} {} {}: {}", habit.mean_cents < 0 ? "flat" : "sharp", habit.group == "spot" ? "at" : "on",
                     group_in_words(habit), habit_size_in_words(habit));
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
