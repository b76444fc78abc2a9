#include "faults.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "base/statistics.hpp"

namespace firmus::practice {
namespace {

const WrittenNote& written(const PracticeTake& take, int index) {
  return take.melody->note(index);
}

std::optional<int> note_before(const PracticeTake& take, int index) {
  while (--index >= 0)
    if (!written(take, index).grace) return index;
  return std::nullopt;
}

/// Names of the note before and of the note: equal for notes that are reached alike.
std::string approach_key(const PracticeTake& take, int index) {
  const auto before = note_before(take, index);
  return (before ? pitch_name(written(take, *before).pitch) : "") + " " + pitch_name(written(take, index).pitch);
}

/// The first place with the most common pair of notes.
std::optional<HabitPlace> most_common_place(std::span<const PracticeTake> takes,
                                            const std::vector<HabitPlace>& places) {
  std::map<std::string, int> count;
  for (const HabitPlace& place : places) ++count[approach_key(takes[place.take], place.index)];
  std::optional<HabitPlace> best;
  int most = 0;
  for (const HabitPlace& place : places)
    if (const int here = count[approach_key(takes[place.take], place.index)]; here > most) {
      most = here;
      best = place;
    }
  return best;
}

LocatedFault located_at(std::span<const PracticeTake> takes, const HabitPlace& place, FaultSource source, HabitRow row,
                        std::vector<HabitPlace> places) {
  const PracticeTake& take = takes[place.take];
  return {source, std::move(row), &take, place.index, note_before(take, place.index), std::move(places)};
}

std::vector<SharedHabit> habits_of(std::span<const PracticeTake> takes) {
  std::vector<HabitTake> over;
  for (const PracticeTake& take : takes) over.push_back({take.melody, take.result->notes});
  return find_shared_habits(over);
}

std::vector<LocatedFault> from_habits(std::span<const PracticeTake> takes, const std::vector<SharedHabit>& habits,
                                      HabitDecision decision, FaultSource source) {
  std::vector<LocatedFault> faults;
  for (const SharedHabit& habit : habits) {
    if (habit.row.decision != decision) continue;
    if (const auto place = most_common_place(takes, habit.places))
      faults.push_back(located_at(takes, *place, source, habit.row, habit.places));
  }
  return faults;
}

/// Written notes of the first take's melody by mean error, over all takes of that melody.
std::vector<LocatedFault> from_largest_errors(std::span<const PracticeTake> takes) {
  if (takes.empty()) return {};
  std::map<int, std::vector<double>> cents;
  for (const PracticeTake& take : takes)
    if (take.melody->sha256 == takes[0].melody->sha256)
      for (const NoteResult& note : take.result->notes)
        if ((note.verdict == Verdict::sharp || note.verdict == Verdict::flat) && note.index && note.errors.own_cents)
          cents[*note.index].push_back(*note.errors.own_cents);
  std::vector<LocatedFault> faults;
  for (const auto& [index, errors] : cents) {
    HabitRow row;
    row.group = "note";
    row.name = pitch_name(written(takes[0], index).pitch);
    row.count = static_cast<int>(errors.size());
    row.mean_cents = mean_and_sd(errors).mean;
    row.same_way = static_cast<int>(
        std::count_if(errors.begin(), errors.end(), [&](double e) { return (e < 0) == (row.mean_cents < 0); }));
    row.indices = {index};
    faults.push_back(located_at(takes, {0, index}, FaultSource::furthest, row, {{0, index}}));
  }
  std::stable_sort(faults.begin(), faults.end(), [](const LocatedFault& a, const LocatedFault& b) {
    return std::abs(a.row.mean_cents) > std::abs(b.row.mean_cents);
  });
  return faults;
}

}  // namespace

std::vector<LocatedFault> find_faults(std::span<const PracticeTake> takes, int max_faults) {
  const auto habits = habits_of(takes);
  std::vector<LocatedFault> found = from_habits(takes, habits, HabitDecision::chronic, FaultSource::chronic);
  if (found.empty()) found = from_habits(takes, habits, HabitDecision::leaning, FaultSource::leaning);
  if (found.empty()) found = from_largest_errors(takes);
  std::vector<LocatedFault> kept;
  for (LocatedFault& fault : found) {
    const auto same = [&](const LocatedFault& k) {
      return approach_key(*k.take, k.index) == approach_key(*fault.take, fault.index);
    };
    if (static_cast<int>(kept.size()) < max_faults && std::none_of(kept.begin(), kept.end(), same))
      kept.push_back(std::move(fault));
  }
  return kept;
}

}  // namespace firmus::practice
