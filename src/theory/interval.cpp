#include <fmt/format.h>

#include <cstdlib>

#include "chain.hpp"
#include "firmus/theory.hpp"

namespace firmus {

// The spelling decides the direction: C4 to Dbb4 is a diminished second up, though both sound the same. On the same
// staff step the sound decides.
Interval interval_between(const SpelledPitch& from, const SpelledPitch& to) {
  const int steps = 7 * (to.octave - from.octave) + theory::letter_index(to.letter) - theory::letter_index(from.letter);
  const int semitones = midi_key(to) - midi_key(from);
  const int way = steps != 0 ? steps : semitones;
  if (way == 0) return {0, 0, Direction::same};
  const int sign = way > 0 ? 1 : -1;
  return {sign * steps, sign * semitones, way > 0 ? Direction::up : Direction::down};
}

std::string interval_name(const Interval& interval) {
  constexpr std::array<int, 7> plain_semitones{0, 2, 4, 5, 7, 9, 11};  // perfect or major
  const int simple = interval.steps % 7;
  const int wider = interval.semitones - plain_semitones[static_cast<std::size_t>(simple)] - 12 * (interval.steps / 7);
  const bool perfect = simple == 0 || simple == 3 || simple == 4;
  const int narrower = perfect ? -wider : -wider - 1;
  std::string quality = perfect ? "P" : wider == -1 ? "m" : "M";
  if (wider > 0) quality.assign(static_cast<std::size_t>(wider), 'A');
  if (narrower > 0) quality.assign(static_cast<std::size_t>(narrower), 'd');
  return fmt::format("{}{}", quality, interval.steps + 1);
}

}  // namespace firmus
