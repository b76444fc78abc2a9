#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "firmus/habits.hpp"

namespace firmus {
namespace {

struct Group {
  std::vector<double> cents;
  std::vector<int> indices;
};

bool is_judged(const NoteResult& note) {
  return note.index && note.status == NoteStatus::sung && note.verdict && *note.verdict != Verdict::unclear;
}

bool is_other_note(const NoteResult* note) {
  return note && note->verdict == Verdict::other_note;
}

HabitRow row_of(const std::string& name, const std::optional<Direction>& direction, const Group& group) {
  HabitRow row;
  row.group = "interval";
  row.name = name;
  row.direction = direction;
  row.count = static_cast<int>(group.cents.size());
  double sum = 0;
  for (const double cents : group.cents) sum += cents;
  row.mean_cents = sum / row.count;
  const auto [lowest, highest] = std::minmax_element(group.cents.begin(), group.cents.end());
  row.lowest_cents = *lowest;
  row.highest_cents = *highest;
  row.same_way = static_cast<int>(
      std::count_if(group.cents.begin(), group.cents.end(), [&](double cents) { return cents * row.mean_cents > 0; }));
  row.indices = group.indices;
  return row;
}

}  // namespace

std::vector<HabitRow> count_intervals(std::span<const NoteResult> notes) {
  using Name = std::pair<std::string, std::optional<Direction>>;
  std::vector<Name> order;
  std::map<Name, Group> groups;
  const NoteResult* before = nullptr;
  for (const NoteResult& note : notes) {
    if (!is_judged(note)) continue;
    const NoteResult* from = std::exchange(before, &note);
    if (!note.interval_name || !note.errors.interval_cents || is_other_note(&note) || is_other_note(from)) continue;
    const Name name{*note.interval_name, note.interval_direction};
    const auto [group, is_new] = groups.try_emplace(name);
    if (is_new) order.push_back(name);
    group->second.cents.push_back(*note.errors.interval_cents);
    group->second.indices.push_back(*note.index);
  }
  std::vector<HabitRow> rows;
  for (const Name& name : order) rows.push_back(row_of(name.first, name.second, groups.at(name)));
  std::stable_sort(rows.begin(), rows.end(), [](const HabitRow& a, const HabitRow& b) {
    return std::fabs(a.mean_cents) > std::fabs(b.mean_cents);
  });
  return rows;
}

}  // namespace firmus
