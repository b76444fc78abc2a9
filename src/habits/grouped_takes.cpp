#include "grouped_takes.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::habits {
namespace {

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

}  // namespace

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

TakesModel model_of(const Sorted& sorted) {
  AllWritten all = all_written(sorted);
  std::vector<TakeSeries> series;
  for (std::size_t t = 0; t < sorted.takes.size(); ++t) {
    const std::size_t melody = sorted.takes[t].melody;
    series.push_back(series_of(sorted.takes[t], t, sorted.names[melody].size(), all.first_note[melody], sorted.groups));
    for (std::size_t& note : series.back().note) note = all.row_of[note];
  }
  std::vector<bool> spots;
  for (const std::size_t g : sorted.looked_at) spots.push_back(sorted.groups[g].name.family == Family::spot);
  return {series, std::move(all.notes), std::move(spots)};
}

}  // namespace firmus::habits
