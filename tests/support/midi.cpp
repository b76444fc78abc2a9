#include "midi.hpp"

#include <cmath>
#include <cstdint>

namespace firmus::midi {
namespace {

constexpr int ticks_per_quarter = 480;
constexpr double bend_range_cents = 12700 * 2 / 128.0;  // 2 semitones as fluidsynth 2.3 computes them (measured here)

std::string variable_length(int value) {
  std::string bytes(1, static_cast<char>(value & 0x7F));
  while (value >>= 7) bytes.insert(bytes.begin(), static_cast<char>(0x80 | (value & 0x7F)));
  return bytes;
}

std::string big_endian(std::uint32_t value, int bytes) {
  std::string text;
  for (int i = bytes - 1; i >= 0; --i) text += static_cast<char>((value >> (8 * i)) & 0xFF);
  return text;
}

std::string event(int after_ticks, int status, int first, int second) {
  std::string bytes = variable_length(after_ticks) + static_cast<char>(status) + static_cast<char>(first);
  if (second >= 0) bytes += static_cast<char>(second);
  return bytes;
}

/// Rounded up to the next step, since fluidsynth rounds down to whole cents.
int bend_steps(double cents) {
  constexpr double rounding = 1e-6;
  return static_cast<int>(std::ceil(8192 + cents / bend_range_cents * 8192 - rounding));
}

}  // namespace

std::string file_of(int program, const std::vector<Note>& notes) {
  std::string track = event(0, 0xC0, program, -1);
  int now = 0;
  for (const Note& note : notes) {
    const int bend = bend_steps(note.bend_cents);
    track += event(note.onset_ticks - now, 0xE0, bend & 0x7F, bend >> 7);
    track += event(0, 0x90, note.key, note.velocity);
    track += event(note.length_ticks, 0x80, note.key, 0);
    now = note.onset_ticks + note.length_ticks;
  }
  track += variable_length(ticks_per_quarter) + std::string("\xFF\x2F\x00", 3);
  return "MThd" + big_endian(6, 4) + big_endian(0, 2) + big_endian(1, 2) + big_endian(ticks_per_quarter, 2) + "MTrk" +
         big_endian(static_cast<std::uint32_t>(track.size()), 4) + track;
}

}  // namespace firmus::midi
