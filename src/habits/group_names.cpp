#include "group_names.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/statistics.hpp"

namespace firmus::habits {
namespace {

using GroupNames = std::vector<std::vector<GroupName>>;

std::vector<std::size_t> non_grace_notes(const Melody& melody) {
  std::vector<std::size_t> notes;
  for (std::size_t i = 0; i < melody.notes.size(); ++i)
    if (!melody.notes[i].grace) notes.push_back(i);
  return notes;
}

void add(std::vector<GroupName>& names, Family family, std::string name,
         std::optional<Direction> direction = std::nullopt) {
  names.push_back({family, std::move(name), direction});
}

void add_approach_names(std::vector<GroupName>& names, const WrittenNote& from, const WrittenNote& to) {
  const Interval interval = interval_between(from.pitch, to.pitch);
  const std::string name = interval_name(interval);
  add(names, Family::interval, name, interval.direction);
  // A chromatic semitone (F F#) counts as a step, as in common practice.
  const bool repeat = interval.steps == 0 && interval.semitones == 0;
  add(names, Family::approach, repeat ? "repeat" : interval.steps <= 1 ? "step" : "leap");
  if (interval.direction != Direction::same)
    add(names, Family::line, interval.direction == Direction::up ? "rising" : "falling");
}

void add_place(std::vector<GroupName>& names, const WrittenNote* before, const WrittenNote& note,
               const WrittenNote* after) {
  if (!before || before->phrase != note.phrase) add(names, Family::place, "first");
  if (!after || after->phrase != note.phrase) add(names, Family::place, "last");
}

void add_lengths(GroupNames& names, const Melody& melody, const std::vector<std::size_t>& notes) {
  std::vector<double> lengths;
  for (const std::size_t i : notes) lengths.push_back(melody.notes[i].length_quarters.value());
  const double typical = median(lengths);
  for (const std::size_t i : notes) {
    const double length = melody.notes[i].length_quarters.value();
    if (length != typical) add(names[i], Family::length, length < typical ? "short" : "long");
  }
}

void add_registers(GroupNames& names, const Melody& melody, const std::vector<std::size_t>& notes) {
  std::vector<int> keys;
  for (const std::size_t i : notes) keys.push_back(midi_key(melody.notes[i].pitch));
  const auto [lowest, highest] = std::minmax_element(keys.begin(), keys.end());
  const int range = *highest - *lowest;
  if (range == 0) return;
  for (std::size_t k = 0; k < notes.size(); ++k) {
    const int above = keys[k] - *lowest;
    add(names[notes[k]], Family::registers, 3 * above <= range ? "low" : 3 * above >= 2 * range ? "high" : "middle");
  }
}

bool has_several_keys(const Melody& melody) {
  return std::any_of(melody.notes.begin(), melody.notes.end(),
                     [&](const WrittenNote& note) { return note.key != melody.notes.front().key; });
}

/// "raised 7"; where the written key or mode changes "raised 7 of D minor", so that degrees of two keys stay apart.
std::string degree_name(const WrittenNote& note, bool several_keys) {
  const std::string degree = scale_degree(*note.key, note.pitch);
  return several_keys ? degree + " of " + key_name(*note.key) : degree;
}

std::string beat_text(const Fraction& beat) {
  std::string text = fmt::format("{:.2f}", beat.value());
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string spot_name(const WrittenNote& note, bool repeats) {
  if (!note.bar) return fmt::format("note {}", note.index + 1);
  std::string name = note.section.empty() ? "" : note.section + " ";
  if (repeats && !note.section.empty()) name += fmt::format("({}) ", note.pass);
  name += *note.bar == 0 ? "upbeat" : fmt::format("bar {}", *note.bar);
  return note.beat ? name + " beat " + beat_text(*note.beat) : name;
}

}  // namespace

std::string full_name(const GroupName& name) {
  std::string text = fmt::format("{} {}", to_string(name.family), name.name);
  if (name.direction) text += fmt::format(" {}", to_string(*name.direction));
  return text;
}

bool needs_previous_note(Family family) {
  return family == Family::interval || family == Family::approach || family == Family::line;
}

std::vector<std::vector<GroupName>> group_names(const Melody& melody) {
  GroupNames names(melody.notes.size());
  const std::vector<std::size_t> notes = non_grace_notes(melody);
  if (notes.empty()) return names;
  const bool phrases = melody.notes.front().phrase != melody.notes.back().phrase;
  const bool several_keys = has_several_keys(melody);
  const bool repeats =
      std::any_of(melody.notes.begin(), melody.notes.end(), [](const WrittenNote& n) { return n.pass > 1; });
  for (std::size_t k = 0; k < notes.size(); ++k) {
    const WrittenNote& note = melody.notes[notes[k]];
    const WrittenNote* before = k > 0 ? &melody.notes[notes[k - 1]] : nullptr;
    const WrittenNote* after = k + 1 < notes.size() ? &melody.notes[notes[k + 1]] : nullptr;
    std::vector<GroupName>& own = names[notes[k]];
    if (before) add_approach_names(own, *before, note);
    if (phrases) add_place(own, before, note, after);
    if (note.key) add(own, Family::degree, degree_name(note, several_keys));
    add(own, Family::note, pitch_name(note.pitch));
    add(own, Family::spot, spot_name(note, repeats));
  }
  add_lengths(names, melody, notes);
  add_registers(names, melody, notes);
  return names;
}

}  // namespace firmus::habits
