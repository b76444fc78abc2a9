#include "grouped_takes.hpp"

#include <algorithm>
#include <cmath>

namespace firmus::habits {
namespace {

std::size_t melody_number(GroupedTakes& grouped, const Melody& melody, std::size_t take) {
  for (std::size_t m = 0; m < grouped.melodies.size(); ++m)
    if (is_same_melody(*grouped.melodies[m], melody)) return m;
  grouped.melodies.push_back(&melody);
  grouped.first_take.push_back(take);
  grouped.names.push_back(group_names(melody));
  return grouped.melodies.size() - 1;
}

double mean_abs_size(const Group& group, const std::vector<TakeNotes>& takes) {
  double sum = 0;
  for (std::size_t t = 0; t < takes.size(); ++t)
    for (const std::size_t k : group.members[t]) sum += takes[t].notes[k].cents;
  return std::fabs(sum) / group.sung;
}

/// Of many spots only those with the largest mean errors stay tested. The alpha weights of the others are not
/// redistributed, so this choice by the data does not raise the family-wise error rate.
void limit_tested_spots(GroupedTakes& grouped) {
  constexpr std::size_t most_spots = 64;  // each is a column in every take: bounds memory and time of long melodies
  std::vector<std::pair<double, std::size_t>> spots;
  for (std::size_t g = 0; g < grouped.groups.size(); ++g)
    if (grouped.groups[g].name.family == Family::spot && grouped.groups[g].alpha_weight > 0)
      spots.emplace_back(-mean_abs_size(grouped.groups[g], grouped.takes), g);
  std::sort(spots.begin(), spots.end());
  for (std::size_t k = most_spots; k < spots.size(); ++k) grouped.groups[spots[k].second].alpha_weight = 0;
}

/// The written notes of all melodies, one melody after another, that are judged in any take.
struct WrittenRows {
  WrittenNotes notes;
  std::vector<std::size_t> row_of;      ///< row in `notes`, by first_note[melody] + index
  std::vector<std::size_t> first_note;  ///< by melody number
};

void add_members(WrittenNotes& notes, const GroupedTakes& grouped, std::size_t melody, std::size_t index) {
  const auto& names = grouped.names[melody][index];
  for (std::size_t g = 0; g < grouped.tested_groups.size(); ++g) {
    const Group& group = grouped.groups[grouped.tested_groups[g]];
    const bool in_melody = !group.melody || *group.melody == melody;
    const bool named = std::find(names.begin(), names.end(), group.name) != names.end();
    notes.members[g].push_back(in_melody && named ? 1 : 0);
  }
}

WrittenRows written_rows(const GroupedTakes& grouped) {
  WrittenRows all;
  std::size_t count = 0;
  for (const auto& melody : grouped.names) {
    all.first_note.push_back(count);
    count += melody.size();
  }
  std::vector<bool> sung(count, false);
  for (const TakeNotes& take : grouped.takes)
    for (const JudgedNote& note : take.notes) sung[all.first_note[take.melody] + note.position()] = true;
  all.row_of.assign(count, 0);
  all.notes.members.resize(grouped.tested_groups.size());
  for (std::size_t m = 0; m < grouped.names.size(); ++m) {
    const std::size_t length = grouped.names[m].size();
    bool begins = true;
    for (std::size_t i = 0; i < length; ++i) {
      if (!sung[all.first_note[m] + i]) continue;
      all.row_of[all.first_note[m] + i] = all.notes.size();
      const double last = length > 1 ? static_cast<double>(length - 1) : 1;
      all.notes.position.push_back(static_cast<double>(i) / last - 0.5);
      all.notes.begins.push_back(begins);
      begins = false;
      add_members(all.notes, grouped, m, i);
    }
  }
  return all;
}

}  // namespace

GroupedTakes group_takes(std::span<const HabitTake> takes, std::size_t min_notes) {
  GroupedTakes grouped;
  for (std::size_t t = 0; t < takes.size(); ++t) {
    std::vector<JudgedNote> notes = judged_notes_of(takes[t].notes);
    if (notes.size() < min_notes) continue;
    grouped.takes.push_back({melody_number(grouped, *takes[t].melody, t), std::move(notes)});
    grouped.source.push_back(t);
  }
  grouped.groups = make_groups(grouped.takes, grouped.names);
  limit_tested_spots(grouped);
  for (std::size_t g = 0; g < grouped.groups.size(); ++g)
    if (grouped.groups[g].alpha_weight > 0) grouped.tested_groups.push_back(g);
  return grouped;
}

std::vector<std::vector<double>> errors_by_take(const Group& group, const GroupedTakes& grouped) {
  std::vector<std::vector<double>> errors(grouped.takes.size());
  for (std::size_t t = 0; t < grouped.takes.size(); ++t)
    for (const std::size_t k : group.members[t]) errors[t].push_back(grouped.takes[t].notes[k].cents);
  return errors;
}

SeveralTakesModel several_takes_model(const GroupedTakes& grouped) {
  WrittenRows all = written_rows(grouped);
  std::vector<TakeSeries> series;
  for (std::size_t t = 0; t < grouped.takes.size(); ++t) {
    const std::size_t melody = grouped.takes[t].melody;
    series.push_back(
        take_series(grouped.takes[t], t, grouped.names[melody].size(), all.first_note[melody], grouped.groups));
    for (std::size_t& note : series.back().note) note = all.row_of[note];
  }
  std::vector<bool> spots;
  for (const std::size_t g : grouped.tested_groups) spots.push_back(grouped.groups[g].name.family == Family::spot);
  return {series, std::move(all.notes), std::move(spots)};
}

}  // namespace firmus::habits
