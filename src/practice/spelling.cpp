#include "spelling.hpp"

#include <array>
#include <cstdlib>
#include <string_view>

namespace firmus::practice {
namespace {

constexpr std::string_view letters = "CDEFGAB";

std::optional<SpelledPitch> staff_step(const SpelledPitch& pitch, int steps) {
  const int place = static_cast<int>(letters.find(pitch.letter)) + 7 * pitch.octave + steps;
  if (place < 0 || place >= 70) return std::nullopt;
  return SpelledPitch{letters[static_cast<std::size_t>(place % 7)], 0, place / 7};
}

}  // namespace

std::optional<SpelledPitch> diatonic_step(const Key& key, const SpelledPitch& pitch, int steps) {
  auto note = staff_step(pitch, steps);
  if (!note) return std::nullopt;
  for (const int alter : {0, -1, 1, -2, 2}) {
    note->alter = alter;
    if (scale_degree(key, *note).size() == 1) return note;  // "raised 7" has more
  }
  return std::nullopt;
}

std::optional<SpelledPitch> transposed(const SpelledPitch& pitch, const Interval& interval) {
  const int sign = interval.direction == Direction::down ? -1 : 1;
  auto note = staff_step(pitch, sign * interval.steps);
  if (!note) return std::nullopt;
  SpelledPitch plain = pitch;
  plain.deviation_cents = 0;
  note->alter = midi_key(plain) + sign * interval.semitones - midi_key(*note);
  if (std::abs(note->alter) > 2) return std::nullopt;
  return note;
}

Interval interval_of_semitones(int semitones) {
  constexpr std::array<int, 12> steps{0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6};
  const int size = std::abs(semitones);
  const Direction direction = semitones > 0 ? Direction::up : semitones < 0 ? Direction::down : Direction::same;
  return {7 * (size / 12) + steps[static_cast<std::size_t>(size % 12)], size, direction};
}

}  // namespace firmus::practice
