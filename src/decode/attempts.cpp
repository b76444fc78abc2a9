#include "attempts.hpp"

#include <algorithm>

#include "alignment.hpp"

namespace firmus::decode {
namespace {

constexpr double complete_share = 0.8;  // of the written notes: such an attempt may count
constexpr double begins_again = 0.15;   // an attempt begins by going back into this first part of the melody
constexpr double least_matched = 0.4;   // share of matched intervals in an attempt; speech has fewer

struct Run {
  std::size_t first = 0, last = 0;  ///< notes, inclusive
};

std::vector<Run> split_runs(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<Run> runs;
  int reached = -1;
  const int near_begin = static_cast<int>(begins_again * static_cast<double>(melody.notes.size()));
  for (std::size_t i = 0; i < notes.size(); ++i) {
    if (!notes[i].written) continue;
    const int index = *notes[i].written;
    const bool again = !runs.empty() && index <= reached && index <= near_begin;
    if (runs.empty() || again) {
      runs.push_back({i, i});
      reached = -1;
    }
    runs.back().last = i;
    reached = std::max(reached, index);
  }
  return runs;
}

bool is_speech(const Run& run, const std::vector<char>& matched) {
  if (run.last == run.first) return true;
  const auto begin = matched.begin() + static_cast<std::ptrdiff_t>(run.first),
             end = matched.begin() + static_cast<std::ptrdiff_t>(run.last);
  return static_cast<double>(std::count(begin, end, 1)) < least_matched * static_cast<double>(end - begin);
}

/// The first note of the run for each written note; -1 where there is none. Annotators, too, count the first one and
/// take what is sung again for the addition.
std::vector<int> first_sung(const Melody& melody, const std::vector<DecodedNote>& notes, const Run& run) {
  std::vector<int> at(melody.notes.size(), -1);
  for (std::size_t i = run.first; i <= run.last; ++i)
    if (notes[i].written && at[static_cast<std::size_t>(*notes[i].written)] < 0)
      at[static_cast<std::size_t>(*notes[i].written)] = static_cast<int>(i);
  return at;
}

bool may_be_left_out(const WrittenNote& note) {
  return note.mark == NoteMark::maybe || note.grace;
}

/// Of the written notes that may not be left out: how many there are, and how many of them were sung.
struct RequiredNotes {
  int written = 0, sung = 0;
  double share() const { return written > 0 ? sung / static_cast<double>(written) : 0; }
};
RequiredNotes required_notes(const Melody& melody, const std::vector<int>& sung_at) {
  RequiredNotes required;
  for (std::size_t i = 0; i < melody.notes.size(); ++i) {
    if (may_be_left_out(melody.notes[i])) continue;
    ++required.written;
    required.sung += sung_at[i] >= 0;
  }
  return required;
}

Attempt describe(const Melody& melody, const std::vector<DecodedNote>& notes, const Run& run,
                 const std::vector<int>& sung_at) {
  Attempt attempt;
  attempt.from_s = notes[run.first].onset_s;
  attempt.to_s = notes[run.last].end_s;
  const auto first = std::ranges::find_if(sung_at, [](int i) { return i >= 0; });
  const auto last = std::find_if(sung_at.rbegin(), sung_at.rend(), [](int i) { return i >= 0; }).base();
  attempt.written_from = static_cast<int>(first - sung_at.begin());
  attempt.written_to = static_cast<int>(last - sung_at.begin()) - 1;
  attempt.sung = static_cast<int>(std::ranges::count_if(sung_at, [](int i) { return i >= 0; }));
  const RequiredNotes required = required_notes(melody, sung_at);
  attempt.missing = required.written - required.sung;
  for (std::size_t i = run.first; i <= run.last; ++i) attempt.extra += notes[i].written ? 0 : 1;
  return attempt;
}

std::size_t attempt_that_counts(const Melody& melody, const std::vector<std::vector<int>>& sung_at) {
  std::size_t counts = sung_at.size() - 1;
  for (std::size_t a = 0; a < sung_at.size(); ++a)
    if (required_notes(melody, sung_at[a]).share() >= complete_share) counts = a;
  return counts;
}

std::vector<NoteStatus> none_sung(const Melody& melody) {
  std::vector<NoteStatus> written;
  for (const auto& note : melody.notes)
    written.push_back(may_be_left_out(note) ? NoteStatus::optional_left_out : NoteStatus::missing);
  return written;
}

}  // namespace

std::vector<DecodedNote> drop_speech(const Melody& melody, std::vector<DecodedNote> notes) {
  const std::vector<char> matched = matched_intervals(melody, notes);
  const std::vector<Run> runs = split_runs(melody, notes);
  if (runs.size() > 1) {
    for (const Run& run : runs) {
      if (!is_speech(run, matched)) continue;
      for (std::size_t i = run.first; i <= run.last; ++i) {
        notes[i].written.reset();
        notes[i].status = NoteStatus::extra;
      }
    }
  }
  const auto first = std::ranges::find_if(notes, [](const DecodedNote& note) { return note.written.has_value(); });
  if (first != notes.end()) notes.erase(notes.begin(), first);
  return notes;
}

AssignedAttempts assign_attempts(const Melody& melody, std::vector<DecodedNote> notes) {
  AssignedAttempts assigned{std::move(notes), {}, none_sung(melody), 0};
  const std::vector<Run> runs = split_runs(melody, assigned.notes);
  if (runs.empty()) return assigned;
  std::vector<std::vector<int>> sung_at;
  for (const Run& run : runs) {
    sung_at.push_back(first_sung(melody, assigned.notes, run));
    assigned.attempts.push_back(describe(melody, assigned.notes, run, sung_at.back()));
  }
  const std::size_t counts = attempt_that_counts(melody, sung_at);
  assigned.attempts[counts].counts = true;
  for (std::size_t a = 0; a < runs.size(); ++a) {
    for (std::size_t i = runs[a].first; i <= runs[a].last; ++i) {
      auto& note = assigned.notes[i];
      note.attempt = static_cast<int>(a);
      if (!note.written) continue;
      const auto written = static_cast<std::size_t>(*note.written);
      const bool is_the_one = a == counts && sung_at[a][written] == static_cast<int>(i);
      note.status = is_the_one ? NoteStatus::sung : NoteStatus::restart;
      if (is_the_one) assigned.written[written] = NoteStatus::sung;
    }
  }
  assigned.matched_share = required_notes(melody, sung_at[counts]).share();
  return assigned;
}

}  // namespace firmus::decode
