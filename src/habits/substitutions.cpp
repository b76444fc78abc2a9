#include "substitutions.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>

#include "base/statistics.hpp"
#include "group_names.hpp"

namespace firmus::habits {
namespace {

constexpr int fewest_times = 2;  // once is a slip

struct Place {
  std::size_t take = 0;
  int index = 0;
  double cents = 0;
};
/// The judged places of one written note, and those of them that were sung as another, by the name of the other.
struct WrittenName {
  std::vector<Place> judged;
  std::map<std::string, std::vector<Place>> sung_as;
};
using WrittenNames = std::map<std::string, WrittenName>;

void add_notes(WrittenNames& names, const HabitTake& take, std::size_t number) {
  for (const NoteResult& note : take.notes) {
    if (!note.index || note.status != NoteStatus::sung || !note.errors.own_cents) continue;
    if (!note.verdict || note.verdict == Verdict::unclear) continue;
    const WrittenNote& written = take.melody->note(*note.index);
    const Place place{number, *note.index, *note.errors.own_cents};
    WrittenName& name = names[pitch_name(written.pitch)];
    name.judged.push_back(place);
    if (note.verdict != Verdict::other_note) continue;
    const OtherNote other = nearest_other_note(written.pitch, Cents(place.cents), take.melody->tuning, written.key);
    name.sung_as[pitch_name(other.pitch)].push_back(place);
  }
}

WrittenNames written_names(std::span<const HabitTake> takes) {
  WrittenNames names;
  for (std::size_t t = 0; t < takes.size(); ++t) add_notes(names, takes[t], t);
  return names;
}

std::string name_of(const std::string& written, const std::string& sung) {
  return written + ">" + sung;
}

void fill_substitution_sizes(HabitRow& row, const std::vector<Place>& places) {
  std::vector<double> cents;
  for (const Place& place : places) cents.push_back(place.cents);
  row.mean_cents = mean_and_sd(cents).mean;
  row.lowest_cents = *std::min_element(cents.begin(), cents.end());
  row.highest_cents = *std::max_element(cents.begin(), cents.end());
}

void fill_substitution_places(SharedHabit& habit, const std::vector<Place>& places, std::span<const HabitTake> takes) {
  const auto first_of = [&](std::size_t take) {
    std::size_t first = 0;
    while (!is_same_melody(*takes[first].melody, *takes[take].melody)) ++first;
    return first;
  };
  std::set<std::pair<std::size_t, int>> written;
  for (const Place& place : places) written.emplace(first_of(place.take), place.index);
  for (const auto& [take, index] : written) habit.places.push_back({take, index});
  const bool one_melody = std::all_of(written.begin(), written.end(),
                                      [&](const auto& place) { return place.first == written.begin()->first; });
  if (one_melody)
    for (const HabitPlace& place : habit.places) habit.row.indices.push_back(place.index);
}

void fill_substitution_takes(SharedHabit& habit, const WrittenName& name, const std::vector<Place>& places,
                             std::size_t takes) {
  habit.cents_by_take.resize(takes);
  for (std::size_t t = 0; t < takes; ++t) {
    std::vector<double> cents;
    for (const Place& place : places)
      if (place.take == t) cents.push_back(place.cents);
    const auto judged =
        std::count_if(name.judged.begin(), name.judged.end(), [&](const Place& place) { return place.take == t; });
    habit.takes += judged > 0 ? 1 : 0;
    if (cents.empty()) continue;
    habit.cents_by_take[t] = mean_and_sd(cents).mean;
    habit.takes_same_way += 2 * cents.size() >= static_cast<std::size_t>(judged) ? 1 : 0;
  }
}

}  // namespace

std::vector<SharedHabit> find_substitutions(std::span<const HabitTake> takes) {
  const WrittenNames names = written_names(takes);
  std::vector<SharedHabit> found;
  for (const auto& [written, name] : names)
    for (const auto& [sung, places] : name.sung_as) {
      const auto times = static_cast<int>(places.size()), of = static_cast<int>(name.judged.size());
      if (times < fewest_times || 2 * times < of) continue;
      SharedHabit habit;
      habit.row.decision = HabitDecision::chronic;
      habit.row.group = to_string(Family::substitution);
      habit.row.name = name_of(written, sung);
      habit.row.count = of;
      habit.row.same_way = habit.row.out_of_tune = times;
      fill_substitution_sizes(habit.row, places);
      fill_substitution_places(habit, places, takes);
      fill_substitution_takes(habit, name, places, takes.size());
      found.push_back(std::move(habit));
    }
  std::stable_sort(found.begin(), found.end(),
                   [](const SharedHabit& a, const SharedHabit& b) { return a.row.same_way > b.row.same_way; });
  return found;
}

SubstitutionCount count_substitution(std::span<const HabitTake> takes, const std::string& name) {
  SubstitutionCount count;
  for (const auto& [written, of] : written_names(takes)) {
    if (!name.starts_with(written + ">")) continue;
    count.places = of.judged.size();
    for (const auto& [sung, places] : of.sung_as)
      if (name_of(written, sung) == name) count.times = places.size();
  }
  return count;
}

}  // namespace firmus::habits
