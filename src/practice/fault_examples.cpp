#include "fault_examples.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "usable_takes.hpp"

namespace firmus::practice {
namespace {

constexpr std::size_t max_examples = 6;  // a minute of listening
constexpr std::size_t max_takes = 3;     // the listener has to open the recording of each
constexpr double min_error_cents = 10;   // the least size of a habit

struct Candidate {
  std::size_t take;
  const NoteResult* note;
  double own_cents;
};

/// Whether a note is off in the direction of the fault, and has what is needed to play it back.
bool is_example(const NoteResult& note, const HabitRow& row) {
  if (!has_judged_error(note) || !note.onset_s || !note.end_s || !note.sung_hz) return false;
  return std::fabs(*note.errors.own_cents) >= min_error_cents && (*note.errors.own_cents < 0) == (row.mean_cents < 0);
}

std::vector<Candidate> all_candidates(std::span<const PracticeTake> takes, const LocatedFault& fault) {
  std::vector<Candidate> found;
  for (std::size_t take = 0; take < takes.size(); ++take) {
    const std::set<int> indices = affected_notes(takes, take, fault.places);
    for (const NoteResult& note : takes[take].result->notes)
      if (note.status == NoteStatus::sung && is_example(note, fault.row) && indices.contains(*note.index))
        found.push_back({take, &note, *note.errors.own_cents});
  }
  return found;
}

/// The largest errors first; candidates from more than max_takes takes are skipped.
std::vector<Candidate> largest_errors(std::vector<Candidate> found) {
  std::stable_sort(found.begin(), found.end(), [](const Candidate& a, const Candidate& b) {
    return std::fabs(a.own_cents) > std::fabs(b.own_cents);
  });
  std::vector<Candidate> kept;
  std::set<std::size_t> takes;
  for (const Candidate& place : found) {
    if (kept.size() == max_examples) break;
    if (takes.size() == max_takes && !takes.contains(place.take)) continue;
    takes.insert(place.take);
    kept.push_back(place);
  }
  return kept;
}

}  // namespace

std::vector<FaultPlace> fault_examples(std::span<const PracticeTake> takes, const LocatedFault& fault) {
  std::vector<Candidate> kept = largest_errors(all_candidates(takes, fault));
  const auto when = [&](const Candidate& place) {
    return std::tuple(takes[place.take].result->context.date, place.take, *place.note->onset_s);
  };
  std::sort(kept.begin(), kept.end(), [&](const Candidate& a, const Candidate& b) { return when(a) < when(b); });
  std::vector<FaultPlace> places;
  for (const Candidate& place : kept) places.push_back({takes[place.take].result, place.note});
  return places;
}

}  // namespace firmus::practice
