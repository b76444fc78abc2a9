#include "groups.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <set>
#include <tuple>

namespace firmus::habits {
namespace {

constexpr int min_sung = 4;
constexpr int min_written = 4, min_written_over_takes = 2;
constexpr std::size_t min_takes_for_spots = 6;
constexpr int min_sung_of_spot = 3;

/// Relative alpha weight of each family, before normalization to a sum of 1. Chosen by simulation for power: intervals
/// are the commonest habit.
double family_weight(Family family) {
  switch (family) {
    case Family::interval:
      return 0.45;
    case Family::place:
      return 0.15;
    case Family::degree:
    case Family::note:
    case Family::spot:
      return 0.10;
    default:
      return 0.05;
  }
}

using Key = std::tuple<GroupName, std::optional<std::size_t>>;

Key key_of(const GroupName& name, std::size_t melody) {
  return {name, name.family == Family::spot ? std::optional(melody) : std::nullopt};
}

std::vector<Group> collect_groups(std::span<const TakeNotes> takes,
                                  std::span<const std::vector<std::vector<GroupName>>> names) {
  std::map<Key, std::size_t> places;
  std::vector<Group> groups;
  std::vector<std::set<std::pair<std::size_t, int>>> written;
  for (std::size_t t = 0; t < takes.size(); ++t)
    for (std::size_t k = 0; k < takes[t].notes.size(); ++k) {
      const JudgedNote& note = takes[t].notes[k];
      for (const GroupName& name : names[takes[t].melody][note.position()]) {
        if (needs_previous_note(name.family) && !note.from_written) continue;
        const Key key = key_of(name, takes[t].melody);
        const auto [at, is_new] = places.try_emplace(key, groups.size());
        if (is_new) {
          groups.push_back({name, std::get<1>(key), std::vector<Members>(takes.size()), 0, 0, 0, {}, {}});
          written.emplace_back();
        }
        Group& group = groups[at->second];
        group.members[t].push_back(k);
        ++group.sung;
        written[at->second].emplace(takes[t].melody, note.index);
      }
    }
  for (std::size_t g = 0; g < groups.size(); ++g) groups[g].written = static_cast<int>(written[g].size());
  return groups;
}

bool is_testable(const Group& group, std::span<const TakeNotes> takes, int all_sung) {
  if (2 * group.sung > all_sung) return false;
  if (group.name.family == Family::spot) {
    const auto of_melody = static_cast<std::size_t>(
        std::count_if(takes.begin(), takes.end(), [&](const TakeNotes& t) { return t.melody == *group.melody; }));
    return of_melody >= min_takes_for_spots && group.sung >= min_sung_of_spot &&
           2 * static_cast<std::size_t>(group.sung) >= of_melody;
  }
  return group.sung >= min_sung && group.written >= (takes.size() > 1 ? min_written_over_takes : min_written);
}

void assign_alpha_weights(std::vector<Group>& groups, const std::vector<bool>& is_tested) {
  std::map<Family, double> count;
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (is_tested[g]) ++count[groups[g].name.family];
  double all = 0;
  for (const auto& [family, number] : count) all += family_weight(family);
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (is_tested[g])
      groups[g].alpha_weight = family_weight(groups[g].name.family) / all / count[groups[g].name.family];
}

/// Membership of all notes as text, one digit a note. Complementary groups get the same text: it is inverted where it
/// begins with 1, which the second value tells.
std::pair<std::string, bool> membership_signature(const Group& group, std::span<const TakeNotes> takes) {
  std::string text;
  for (std::size_t t = 0; t < takes.size(); ++t) {
    std::string take(takes[t].notes.size(), '0');
    for (const std::size_t k : group.members[t]) take[k] = '1';
    text += take;
  }
  const bool inverted = text.starts_with('1');
  if (inverted)
    for (char& letter : text) letter = letter == '1' ? '0' : '1';
  return {text, inverted};
}

/// Groups of the same (or complementary) notes become one: that with the largest weight, which gets the sum of theirs.
void merge_aliases(std::vector<Group>& groups, std::span<const TakeNotes> takes) {
  std::map<std::string, std::pair<std::size_t, bool>> first;
  std::vector<std::size_t> order(groups.size());
  for (std::size_t g = 0; g < groups.size(); ++g) order[g] = g;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return groups[a].alpha_weight > groups[b].alpha_weight; });
  std::vector<bool> merged(groups.size(), false);
  for (const std::size_t g : order) {
    if (groups[g].alpha_weight <= 0) break;
    const auto [text, inverted] = membership_signature(groups[g], takes);
    const auto [at, is_new] = first.try_emplace(text, g, inverted);
    if (is_new) continue;
    Group& kept = groups[at->second.first];
    (at->second.second == inverted ? kept.aliases : kept.complements).push_back(groups[g].name);
    kept.alpha_weight += groups[g].alpha_weight;
    merged[g] = true;
  }
  std::vector<Group> rest;
  for (std::size_t g = 0; g < groups.size(); ++g)
    if (!merged[g]) rest.push_back(std::move(groups[g]));
  groups = std::move(rest);
}

bool has_valid_error(const NoteResult& note) {
  return note.verdict && *note.verdict != Verdict::unclear && *note.verdict != Verdict::other_note;
}

}  // namespace

std::vector<JudgedNote> judged_notes_of(std::span<const NoteResult> notes) {
  std::vector<JudgedNote> sung;
  bool from_written = false;  // an unclear note counts: the singer started from it
  for (const NoteResult& note : notes) {
    if (!note.index || note.status == NoteStatus::restart) continue;
    const bool is_sung = note.status == NoteStatus::sung;
    if (is_sung && !note.verdict) continue;  // a grace note
    if (is_sung && has_valid_error(note) && note.errors.own_cents)
      sung.push_back({*note.index, *note.errors.own_cents, note.se_cents.value_or(0), from_written,
                      note.verdict != Verdict::in_tune});
    from_written = is_sung && note.verdict != Verdict::other_note;
  }
  return sung;
}

std::vector<Group> make_groups(std::span<const TakeNotes> takes,
                               std::span<const std::vector<std::vector<GroupName>>> names) {
  std::vector<Group> groups = collect_groups(takes, names);
  int all_sung = 0;
  for (const TakeNotes& take : takes) all_sung += static_cast<int>(take.notes.size());
  std::vector<bool> is_tested;
  for (const Group& group : groups) is_tested.push_back(is_testable(group, takes, all_sung));
  assign_alpha_weights(groups, is_tested);
  merge_aliases(groups, takes);
  return groups;
}

TakeSeries take_series(const TakeNotes& take, std::size_t index, std::size_t written_notes, std::size_t first_note,
                       std::span<const Group> groups) {
  TakeSeries result;
  NoteSeries& series = result.series;
  const double last = written_notes > 1 ? static_cast<double>(written_notes - 1) : 1;
  for (const JudgedNote& note : take.notes) {
    series.cents.push_back(note.cents);
    series.se_cents.push_back(note.se_cents);
    series.position.push_back(note.index / last - 0.5);
    result.note.push_back(first_note + note.position());
  }
  for (const Group& group : groups) {
    if (group.alpha_weight <= 0) continue;
    Column column(take.notes.size(), 0.0);
    for (const std::size_t k : group.members[index]) column[k] = 1;
    series.members.push_back(std::move(column));
  }
  return result;
}

}  // namespace firmus::habits
