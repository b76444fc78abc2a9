#include <algorithm>
#include <cmath>
#include <map>

#include "decide.hpp"
#include "firmus/habits.hpp"
#include "one_take.hpp"

namespace firmus {
using namespace habits;
namespace {

constexpr std::size_t fewest_judged = 8;  // two groups of four

using Names = std::vector<std::vector<std::vector<GroupName>>>;

/// The takes that can be used, sorted under names.
struct Sorted {
  std::vector<NamedTake> takes;
  std::vector<std::size_t> from;  ///< for each its place among the takes given
  std::vector<const Melody*> melodies;
  std::vector<std::size_t> first_take;  ///< for each melody, among the takes given
  Names names;
  std::vector<Group> groups;
  std::vector<std::size_t> looked_at;
};

std::size_t number_of(Sorted& sorted, const Melody& melody, std::size_t take) {
  for (std::size_t m = 0; m < sorted.melodies.size(); ++m) {
    const Melody& known = *sorted.melodies[m];
    if (&known == &melody || (!melody.sha256.empty() && known.sha256 == melody.sha256)) return m;
  }
  sorted.melodies.push_back(&melody);
  sorted.first_take.push_back(take);
  sorted.names.push_back(group_names(melody));
  return sorted.melodies.size() - 1;
}

double mean_of(const NamedTake& take, const Members& members) {
  double sum = 0;
  for (const std::size_t k : members) sum += take.notes[k].cents;
  return sum / static_cast<double>(members.size());
}

double mean_size(const Group& group, const std::vector<NamedTake>& takes) {
  double sum = 0;
  for (std::size_t t = 0; t < takes.size(); ++t)
    for (const std::size_t k : group.members[t]) sum += takes[t].notes[k].cents;
  return std::fabs(sum) / group.sung;
}

/// Of many single notes only the furthest off are looked at; the share of the rest is not handed on, so none of them is
/// found more easily for it.
void leave_near_spots(Sorted& sorted) {
  constexpr std::size_t most_spots = 64;  // a column a take each: bounds memory and time on long melodies
  std::vector<std::pair<double, std::size_t>> spots;
  for (std::size_t g = 0; g < sorted.groups.size(); ++g)
    if (sorted.groups[g].name.family == Family::spot && sorted.groups[g].share > 0)
      spots.emplace_back(-mean_size(sorted.groups[g], sorted.takes), g);
  std::sort(spots.begin(), spots.end());
  for (std::size_t k = most_spots; k < spots.size(); ++k) sorted.groups[spots[k].second].share = 0;
}

Sorted sort_takes(std::span<const HabitTake> takes, std::size_t fewest) {
  Sorted sorted;
  for (std::size_t t = 0; t < takes.size(); ++t) {
    std::vector<SungNote> notes = sung_notes(takes[t].notes);
    if (notes.size() < fewest) continue;
    sorted.takes.push_back({number_of(sorted, *takes[t].melody, t), std::move(notes)});
    sorted.from.push_back(t);
  }
  sorted.groups = sort_into_groups(sorted.takes, sorted.names);
  leave_near_spots(sorted);
  for (std::size_t g = 0; g < sorted.groups.size(); ++g)
    if (sorted.groups[g].share > 0) sorted.looked_at.push_back(g);
  return sorted;
}

/// Counts, range and places: what the notes themselves say.
void fill_counts(SharedHabit& habit, const Group& group, const Sorted& sorted) {
  HabitRow& row = habit.row;
  std::vector<double> cents;
  for (std::size_t t = 0; t < sorted.takes.size(); ++t)
    for (const std::size_t k : group.members[t]) {
      const SungNote& note = sorted.takes[t].notes[k];
      cents.push_back(note.cents);
      habit.places.push_back({sorted.first_take[sorted.takes[t].melody], note.index});
    }
  std::sort(habit.places.begin(), habit.places.end(), [](const HabitPlace& a, const HabitPlace& b) {
    return a.take != b.take ? a.take < b.take : a.index < b.index;
  });
  habit.places.erase(std::unique(habit.places.begin(), habit.places.end()), habit.places.end());
  if (sorted.melodies.size() == 1)
    for (const HabitPlace& place : habit.places) row.indices.push_back(place.index);
  row.count = static_cast<int>(cents.size());
  if (!row.p) {  // only counted
    row.mean_cents = 0;
    for (const double value : cents) row.mean_cents += value / row.count;
  }
  const auto [lowest, highest] = std::minmax_element(cents.begin(), cents.end());
  row.lowest_cents = *lowest;
  row.highest_cents = *highest;
  row.same_way = static_cast<int>(
      std::count_if(cents.begin(), cents.end(), [&](double value) { return value * row.mean_cents > 0; }));
}

void fill_takes(SharedHabit& habit, const Group& group, const Sorted& sorted, std::size_t takes_given) {
  habit.cents_by_take.resize(takes_given);
  for (std::size_t t = 0; t < sorted.takes.size(); ++t) {
    if (group.members[t].empty()) continue;
    const double mean = mean_of(sorted.takes[t], group.members[t]);
    habit.cents_by_take[sorted.from[t]] = mean;
    ++habit.takes;
    habit.takes_same_way += mean * habit.row.mean_cents > 0 ? 1 : 0;
  }
}

/// Rows that are only counted stand furthest off first, whether looked at or too rare for it.
void order_counted(std::vector<SharedHabit>& rows) {
  const auto counted = std::find_if(rows.begin(), rows.end(), [](const auto& habit) { return !habit.row.decision; });
  std::stable_sort(counted, rows.end(), [](const SharedHabit& a, const SharedHabit& b) {
    return std::fabs(a.row.mean_cents) > std::fabs(b.row.mean_cents);
  });
}

std::vector<SharedHabit> filled(std::vector<Said> said, const Sorted& sorted, std::size_t takes_given) {
  for (Said& rest : count_the_rest(sorted.groups)) said.push_back(std::move(rest));
  std::vector<SharedHabit> rows;
  for (Said& one : said) {
    SharedHabit habit;
    habit.row = std::move(one.row);
    fill_counts(habit, sorted.groups[one.group], sorted);
    fill_takes(habit, sorted.groups[one.group], sorted, takes_given);
    rows.push_back(std::move(habit));
  }
  order_counted(rows);
  return rows;
}

std::vector<SharedHabit> over_one(const Sorted& sorted, std::size_t takes_given) {
  const NamedTake& take = sorted.takes.front();
  if (sorted.looked_at.empty()) return filled({}, sorted, takes_given);
  const TakeModel model(series_of(take, 0, sorted.names[take.melody].size(), 0, sorted.groups).series);
  return filled(decide(model, sorted.groups, sorted.looked_at), sorted, takes_given);
}

/// The written notes of all melodies, one after another, that any take has.
struct AllWritten {
  WrittenNotes notes;
  std::vector<std::size_t> row_of;  ///< by first_note[melody] + index
  std::vector<std::size_t> first_note;
};

void add_members(WrittenNotes& notes, const Sorted& sorted, std::size_t melody, std::size_t index) {
  const auto& names = sorted.names[melody][index];
  for (std::size_t g = 0; g < sorted.looked_at.size(); ++g) {
    const Group& group = sorted.groups[sorted.looked_at[g]];
    const bool in_melody = !group.melody || *group.melody == melody;
    const bool named = std::find(names.begin(), names.end(), group.name) != names.end();
    notes.members[g].push_back(in_melody && named ? 1 : 0);
  }
}

AllWritten all_written(const Sorted& sorted) {
  AllWritten all;
  std::size_t count = 0;
  for (const auto& melody : sorted.names) {
    all.first_note.push_back(count);
    count += melody.size();
  }
  std::vector<bool> sung(count, false);
  for (const NamedTake& take : sorted.takes)
    for (const SungNote& note : take.notes)
      sung[all.first_note[take.melody] + static_cast<std::size_t>(note.index)] = true;
  all.row_of.assign(count, 0);
  all.notes.members.resize(sorted.looked_at.size());
  for (std::size_t m = 0; m < sorted.names.size(); ++m) {
    const std::size_t length = sorted.names[m].size();
    bool begins = true;
    for (std::size_t i = 0; i < length; ++i) {
      if (!sung[all.first_note[m] + i]) continue;
      all.row_of[all.first_note[m] + i] = all.notes.size();
      const double last = length > 1 ? static_cast<double>(length - 1) : 1;
      all.notes.position.push_back(static_cast<double>(i) / last - 0.5);
      all.notes.begins.push_back(begins);
      begins = false;
      add_members(all.notes, sorted, m, i);
    }
  }
  return all;
}

std::vector<SharedHabit> over_several(const Sorted& sorted, std::size_t takes_given) {
  if (sorted.looked_at.empty()) return filled({}, sorted, takes_given);
  AllWritten all = all_written(sorted);
  std::vector<TakeSeries> series;
  for (std::size_t t = 0; t < sorted.takes.size(); ++t) {
    const std::size_t melody = sorted.takes[t].melody;
    series.push_back(series_of(sorted.takes[t], t, sorted.names[melody].size(), all.first_note[melody], sorted.groups));
    for (std::size_t& note : series.back().note) note = all.row_of[note];
  }
  std::vector<bool> spots;
  for (const std::size_t g : sorted.looked_at) spots.push_back(sorted.groups[g].name.family == Family::spot);
  const TakesModel model(series, std::move(all.notes), std::move(spots));
  return filled(decide(model, sorted.groups, sorted.looked_at), sorted, takes_given);
}

}  // namespace

std::vector<HabitRow> find_habits(const HabitTake& take) {
  const Sorted sorted = sort_takes(std::span(&take, 1), 1);
  if (sorted.takes.empty()) return {};
  std::vector<HabitRow> rows;
  for (SharedHabit& habit : over_one(sorted, 1)) rows.push_back(std::move(habit.row));
  return rows;
}

std::vector<SharedHabit> find_shared_habits(std::span<const HabitTake> takes) {
  const Sorted sorted = sort_takes(takes, fewest_judged);
  if (sorted.takes.empty()) return {};
  return sorted.takes.size() == 1 ? over_one(sorted, takes.size()) : over_several(sorted, takes.size());
}

}  // namespace firmus
