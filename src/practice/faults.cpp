#include "faults.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "base/statistics.hpp"
#include "usable_takes.hpp"

namespace firmus::practice {
namespace {

const WrittenNote& written(const PracticeTake& take, int index) {
  return take.melody->note(index);
}

/// The note before, where no phrase ends and no section begins between the two.
std::optional<int> note_before(const PracticeTake& take, int index) {
  const WrittenNote& here = written(take, index);
  while (--index >= 0) {
    const WrittenNote& before = written(take, index);
    if (before.phrase != here.phrase || before.section != here.section || before.pass != here.pass) return std::nullopt;
    if (!before.grace) return index;
  }
  return std::nullopt;
}

/// Names of the note before and of the note: equal for notes that are reached alike.
std::string approach_key(const PracticeTake& take, int index) {
  const auto before = note_before(take, index);
  return (before ? pitch_name(written(take, *before).pitch) : "") + " " + pitch_name(written(take, index).pitch);
}

/// The first place with the most common pair of notes; one reached from a note before it where there is any.
std::optional<HabitPlace> most_common_place(std::span<const PracticeTake> takes,
                                            const std::vector<HabitPlace>& places) {
  const auto is_reached = [&](const HabitPlace& place) {
    return note_before(takes[place.take], place.index).has_value();
  };
  const bool any_reached = std::any_of(places.begin(), places.end(), is_reached);
  std::map<std::string, int> count;
  for (const HabitPlace& place : places) ++count[approach_key(takes[place.take], place.index)];
  std::optional<HabitPlace> best;
  int most = 0;
  for (const HabitPlace& place : places) {
    const int here = count[approach_key(takes[place.take], place.index)];
    if (here <= most || (any_reached && !is_reached(place))) continue;
    most = here;
    best = place;
  }
  return best;
}

LocatedFault located_at(std::span<const PracticeTake> takes, const HabitPlace& place, FaultSource source, HabitRow row,
                        std::vector<HabitPlace> places) {
  const PracticeTake& take = takes[place.take];
  std::set<int> affected = affected_notes(takes, place.take, places);
  return {source,
          std::move(row),
          &take,
          place.index,
          note_before(take, place.index),
          std::move(places),
          std::move(affected)};
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

/// Whether the note has an error that counts for the fault: of a substitution, notes sung as another one count too.
bool counts_for(const LocatedFault& fault, const NoteResult& note) {
  const bool substituted = fault.row.group == "substitution" && note.verdict == Verdict::other_note;
  return note.status == NoteStatus::sung && (has_judged_error(note) || (substituted && note.errors.own_cents));
}

/// Own errors of the fault's notes in one take.
std::vector<double> errors_in(std::span<const PracticeTake> takes, std::size_t take, const LocatedFault& fault) {
  const std::set<int> indices = affected_notes(takes, take, fault.places);
  std::vector<double> errors;
  for (const NoteResult& note : takes[take].result->notes)
    if (counts_for(fault, note) && indices.contains(*note.index)) errors.push_back(*note.errors.own_cents);
  return errors;
}

/// Whether the newest take with enough of these notes still has them off in the same direction, enough to hear.
bool still_there(std::span<const PracticeTake> takes, const LocatedFault& fault) {
  constexpr std::size_t enough_notes = 2;  // one note off is no fault
  constexpr double smallest_cents = 10;    // the least size of a habit
  for (std::size_t take = takes.size(); take-- > 0;) {
    const std::vector<double> errors = errors_in(takes, take, fault);
    if (errors.size() < enough_notes) continue;
    const double mean = mean_and_sd(errors).mean;
    return std::abs(mean) >= smallest_cents && (mean < 0) == (fault.row.mean_cents < 0);
  }
  return false;
}

/// A possible problem is worth a drill when it comes in three of four notes.
bool recurs(const LocatedFault& fault) {
  constexpr int fewest = 4;
  return fault.row.count >= fewest && 4 * fault.row.same_way >= 3 * fault.row.count;
}

}  // namespace

int size_in_cents(const HabitRow& row) {
  return static_cast<int>(std::lround(std::fabs(row.mean_cents)));
}

std::vector<PracticeTake> latest_takes(std::span<const PracticeTake> takes) {
  constexpr int latest_dates = 3;
  std::vector<PracticeTake> by_date(takes.begin(), takes.end());
  std::stable_sort(by_date.begin(), by_date.end(), [](const PracticeTake& a, const PracticeTake& b) {
    return a.result->context.date < b.result->context.date;
  });
  std::size_t first = by_date.size();
  for (int dates = 0; first > 0; --first) {
    const auto& date = by_date[first - 1].result->context.date;
    const bool same_date = first < by_date.size() && date && date == by_date[first].result->context.date;
    if (!same_date && ++dates > latest_dates) break;
  }
  by_date.erase(by_date.begin(), by_date.begin() + static_cast<std::ptrdiff_t>(first));
  return by_date;
}

std::set<int> affected_notes(std::span<const PracticeTake> takes, std::size_t take,
                             const std::vector<HabitPlace>& places) {
  std::set<int> indices;
  for (const HabitPlace& place : places)
    if (is_same_melody(*takes[place.take].melody, *takes[take].melody)) indices.insert(place.index);
  return indices;
}

std::vector<LocatedFault> find_faults(std::span<const PracticeTake> takes, int max_faults) {
  const auto habits = habits_of(takes);
  std::vector<LocatedFault> found = from_habits(takes, habits, HabitDecision::chronic, FaultSource::chronic);
  const bool is_sure = !found.empty();
  if (!is_sure) found = from_habits(takes, habits, HabitDecision::leaning, FaultSource::leaning);
  std::erase_if(found,
                [&](const LocatedFault& fault) { return !still_there(takes, fault) || (!is_sure && !recurs(fault)); });
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
