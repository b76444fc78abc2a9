// Naming before measuring: was another note sung in the place of the written one?
#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "base/statistics.hpp"
#include "measure/measure.hpp"

namespace firmus::measure {
namespace {

constexpr double half_semitone_cents = 50;  // nearer than this the same note is meant
constexpr double beyond_cents = 100;        // over it no tolerance of intonation reaches
// Distance from another note up to which that note was sung. Errors of one note vary by 15 cents (practised singers):
// six places that are 60 flat have their median 80 flat or more once in 500 takes (simulated). It is the same for one
// place as for many, or a note would change its verdict because of another place where it was sung alike.
constexpr double near_other_note_cents = 20;

bool is_other_note(const NoteToName& note, double cents, const Tuning& tuning) {
  if (std::fabs(cents) > beyond_cents) return true;
  const double from_other =
      std::fabs(cents - nearest_other_note(note.written, Cents(cents), tuning, note.key).from_written_cents);
  return from_other <= near_other_note_cents && from_other < std::fabs(cents);
}

using Places = std::vector<std::size_t>;

/// Places of one written note that are off alike. `places`: sorted by error.
std::vector<Places> off_alike(std::span<const NoteToName> notes, const Places& places) {
  std::vector<Places> groups;
  for (const std::size_t place : places) {
    if (groups.empty() || notes[place].own_cents - notes[groups.back().back()].own_cents > half_semitone_cents)
      groups.emplace_back();
    groups.back().push_back(place);
  }
  return groups;
}

void decide(std::span<const NoteToName> notes, const Places& alike, const Tuning& tuning, std::vector<bool>& other) {
  std::vector<double> cents;
  for (const std::size_t place : alike) cents.push_back(notes[place].own_cents);
  const double middle = median(std::move(cents));
  const bool of_all = is_other_note(notes[alike.front()], middle, tuning);
  for (const std::size_t place : alike) {
    const bool belongs = std::fabs(notes[place].own_cents - middle) <= half_semitone_cents;
    other[place] = belongs ? of_all : is_other_note(notes[place], notes[place].own_cents, tuning);
  }
}

}  // namespace
}  // namespace firmus::measure

namespace firmus {

std::vector<bool> sung_as_other_notes(std::span<const NoteToName> notes, const Tuning& tuning) {
  std::map<std::string, measure::Places> by_name;
  for (std::size_t i = 0; i < notes.size(); ++i) by_name[pitch_name(notes[i].written)].push_back(i);
  std::vector<bool> other(notes.size(), false);
  for (auto& [name, places] : by_name) {
    std::stable_sort(places.begin(), places.end(),
                     [&](std::size_t a, std::size_t b) { return notes[a].own_cents < notes[b].own_cents; });
    for (const measure::Places& alike : measure::off_alike(notes, places)) measure::decide(notes, alike, tuning, other);
  }
  return other;
}

}  // namespace firmus
