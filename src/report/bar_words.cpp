#include "bar_words.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace firmus::report {

std::string bars_in_words(const Melody& melody, std::span<const int> indices) {
  constexpr std::size_t most_places = 8;
  std::vector<std::string> numbers;
  bool upbeat = false, bars = true;
  for (const int index : indices) {
    const WrittenNote& note = melody.notes[static_cast<std::size_t>(index)];
    bars = bars && note.bar.has_value();
    if (note.bar == 0) {
      upbeat = true;
      continue;
    }
    std::string number = fmt::to_string(note.bar.value_or(index + 1));
    if (std::find(numbers.begin(), numbers.end(), number) == numbers.end()) numbers.push_back(std::move(number));
  }
  const std::size_t more = numbers.size() > most_places ? numbers.size() - most_places + 1 : 0;
  numbers.resize(numbers.size() - more);
  std::string words = upbeat ? "the pick-up" : "";
  if (!numbers.empty())
    words += fmt::format("{}{}{} {}", upbeat ? ", " : "", bars ? "bar" : "note", numbers.size() + more > 1 ? "s" : "",
                         fmt::join(numbers, ", "));
  return more > 0 ? words + fmt::format(" and {} more", more) : words;
}

std::vector<int> indices_in(const SharedHabit& habit, std::size_t first_take) {
  std::vector<int> indices;
  for (const HabitPlace& place : habit.places)
    if (place.take == first_take) indices.push_back(place.index);
  return indices;
}

}  // namespace firmus::report
