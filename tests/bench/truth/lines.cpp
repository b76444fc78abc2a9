#include "lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "synth.hpp"

namespace firmus::truth {
namespace {

std::string name_of_key(int midi) {
  constexpr std::array<const char*, 12> names = {"C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"};
  return fmt::format("{}{}", names[static_cast<std::size_t>(midi % 12)], midi / 12 - 1);
}

int middle_key(const Melody& melody) {
  double sum = 0;
  for (const WrittenNote& note : melody.notes) sum += midi_from_hz(note.target_hz);
  return static_cast<int>(std::lround(sum / static_cast<double>(melody.notes.size())));
}

}  // namespace

Melody melody_of(const Line& line, double quarters_per_minute) {
  std::string text = fmt::format("tempo: {}\n\n", std::lround(quarters_per_minute));
  for (const LineNote& note : line)
    text += fmt::format("{}:{} {}", note.pitch, note.quarters, note.breath_after ? ", " : "");
  return read_melody(text, "line.melody");
}

Line with_repeated_notes(const std::string& melody_name, double share, std::uint64_t seed) {
  const Melody melody = melody_named(melody_name);
  synth::Random random(seed * 31 + 5);
  Line line;
  double at_quarters = 0;
  for (const WrittenNote& note : melody.notes) {
    const double rest = note.onset_quarters.value() - at_quarters;
    if (rest > 0) line.push_back({"rest", rest});
    at_quarters = (note.onset_quarters + note.length_quarters).value();
    const bool last = note.index + 1 == static_cast<int>(melody.notes.size());
    const bool breath = !last && melody.note(note.index + 1).phrase != note.phrase;
    const bool repeats = random.uniform() < share && !line.empty() && line.back().pitch != "rest";
    line.push_back({repeats ? line.back().pitch : pitch_name(note.pitch), note.length_quarters.value(), breath});
  }
  int index = 0;
  for (LineNote& note : line)
    if (note.pitch != "rest") note.written = index++;
  return line;
}

std::vector<int> lone_repeats(const Line& line) {
  std::vector<int> indices;
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    const bool repeats = line[i].written >= 0 && line[i].pitch == line[i - 1].pitch && !line[i - 1].breath_after;
    const bool lone = (i == 1 || line[i - 2].pitch != line[i].pitch) && line[i + 1].pitch != line[i].pitch;
    if (repeats && lone) indices.push_back(line[i].written);
  }
  return indices;
}

Line sixteenths(const std::string& melody_name, std::uint64_t seed) {
  constexpr std::array<int, 7> scale = {0, 2, 4, 5, 7, 9, 11};
  constexpr int phrases = 3, notes_of_phrase = 16, either_way = 6;
  synth::Random random(seed * 31 + 6);
  const int tonic = middle_key(melody_named(melody_name));
  const auto key_of = [&](int degree) {
    const int octave = static_cast<int>(std::floor(degree / 7.0));
    return tonic + 12 * octave + scale[static_cast<std::size_t>(degree - 7 * octave)];
  };
  Line line;
  int degree = 0, direction = 1, index = 0;
  for (int phrase = 0; phrase < phrases; ++phrase) {
    for (int i = 0; i < notes_of_phrase; ++i) {
      line.push_back({name_of_key(key_of(degree)), 0.25, false, index++});
      if (random.uniform() < 0.25 || std::abs(degree + 2 * direction) > either_way) direction = -direction;
      if (std::abs(degree) > either_way - 2) direction = degree > 0 ? -1 : 1;
      degree += direction * (random.uniform() < 0.2 ? 2 : 1);
    }
    line.push_back({name_of_key(key_of(degree)), 2, phrase + 1 < phrases, index++});
    degree = static_cast<int>(random.between(-3, 4));
  }
  return line;
}

Line without_notes(const Line& line, const std::vector<int>& indices, LeftOut how) {
  Line sung;
  for (const LineNote& note : line) {
    if (std::ranges::find(indices, note.written) == indices.end() || sung.empty()) {
      sung.push_back(note);
      continue;
    }
    if (how == LeftOut::silence) sung.push_back({"rest", note.quarters, note.breath_after});
    if (how == LeftOut::held_over) sung.back().quarters += note.quarters;
    if (how != LeftOut::silence) sung.back().breath_after |= note.breath_after;
  }
  return sung;
}

TruthTake sing_line(const std::string& name, const Line& written, const Line& sung, double quarters_per_minute,
                    const singer::Plan& plan) {
  std::vector<int> index_of;
  for (const LineNote& note : sung)
    if (note.written >= 0) index_of.push_back(note.written);
  TruthTake take = sing_take(name, melody_of(sung, quarters_per_minute), plan);
  for (TrueNote& note : take.notes)
    if (note.written) note.written = index_of[static_cast<std::size_t>(*note.written)];
  take.melody = melody_of(written, quarters_per_minute);
  take.attempts = attempts_in(take.notes, take.melody.notes.size());
  return take;
}

}  // namespace firmus::truth
