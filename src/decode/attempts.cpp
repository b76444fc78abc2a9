#include "attempts.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "alignment.hpp"

namespace firmus::decode {
namespace {

constexpr double complete_share = 0.8;  // of the written notes: such an attempt may count
constexpr double begins_again = 0.15;   // an attempt begins by going back into this first part of the melody ...
constexpr int begins_again_at = 2;     // ... and to this note at the latest; later it goes on from notes that were sung
constexpr double least_matched = 0.4;  // share of matched intervals in an attempt; speech has fewer
// Of fewer notes sung again than this after a whole bar, the annotators of real takes count the first time and call the
// rest extra notes; there are two such bars in 51 takes.
constexpr std::size_t least_again = 5;

struct Run {
  std::size_t first = 0, last = 0;  ///< notes, inclusive
};

std::vector<Run> split_runs(const Melody& melody, const std::vector<DecodedNote>& notes) {
  std::vector<Run> runs;
  int reached = -1;
  const int near_begin =
      std::min(begins_again_at, static_cast<int>(begins_again * static_cast<double>(melody.notes.size())));
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

/// Parts of a run in which the written indices rise: each but the first begins with a jump back.
std::vector<Run> renditions_of(const std::vector<DecodedNote>& notes, const Run& run) {
  std::vector<Run> renditions;
  int before = -1;
  for (std::size_t i = run.first; i <= run.last; ++i) {
    if (!notes[i].written) continue;
    if (renditions.empty() || *notes[i].written <= before) renditions.push_back({i, i});
    renditions.back().last = i;
    before = *notes[i].written;
  }
  return renditions;
}

bool is_near_written(const Melody& melody, const DecodedNote& note) {
  constexpr double near_semitones = 1;
  if (!note.written || note.coarse_hz <= 0) return false;
  const double written_hz = melody.notes[static_cast<std::size_t>(*note.written)].target_hz;
  return std::abs(12 * std::log2(note.coarse_hz / written_hz) - note.transposition_semitones) < near_semitones;
}

/// The part of a rendition that is the melody: from its first interval as written on, and the notes before that whose
/// pitch is right. What lies before may be another passage, which the search could place nowhere else. None where few
/// of its intervals are as written.
std::optional<Run> well_matched(const Melody& melody, const std::vector<DecodedNote>& notes, const Run& rendition,
                                const std::vector<char>& matched) {
  Run part = rendition;
  while (part.first < part.last && !(notes[part.first].written && matched[part.first])) ++part.first;
  while (part.first > rendition.first && is_near_written(melody, notes[part.first - 1])) --part.first;
  if (is_speech(part, matched)) return std::nullopt;
  return part;
}

bool ends_bar(const Melody& melody, int index) {
  const auto next = static_cast<std::size_t>(index) + 1;
  return next >= melody.notes.size() || melody.notes[next].bar != melody.notes[next - 1].bar;
}

/// The note of the run that counts for each written note; -1 where there is none. After a jump back it is the one that
/// is sung again, if the melody goes on to where the singer had broken off; else the first one. A few notes sung again
/// after a whole bar are an addition.
std::vector<int> counting_notes(const Melody& melody, const std::vector<DecodedNote>& notes, const Run& run,
                                const std::vector<char>& matched) {
  std::vector<int> at(melody.notes.size(), -1);
  const auto counting = [&](std::size_t note) -> int& { return at[static_cast<std::size_t>(*notes[note].written)]; };
  int reached = -1;
  for (const Run& rendition : renditions_of(notes, run)) {
    const int last = *notes[rendition.last].written;
    if (const auto again = well_matched(melody, notes, rendition, matched); again && reached >= 0 && last >= reached) {
      std::vector<std::size_t> sung_before;
      for (std::size_t i = again->first; i <= again->last; ++i)
        if (notes[i].written && counting(i) >= 0) sung_before.push_back(i);
      if (sung_before.size() >= least_again || !ends_bar(melody, reached))
        for (const std::size_t i : sung_before) counting(i) = static_cast<int>(i);
    }
    for (std::size_t i = rendition.first; i <= rendition.last; ++i)
      if (notes[i].written && counting(i) < 0) counting(i) = static_cast<int>(i);
    reached = std::max(reached, last);
  }
  return at;
}

/// Of the written notes that may not be left out: how many there are, and how many of them were sung.
struct RequiredNotes {
  int written = 0, sung = 0;
  double share() const { return written > 0 ? sung / static_cast<double>(written) : 0; }
};
RequiredNotes required_notes(const Melody& melody, const std::vector<int>& sung_at) {
  RequiredNotes required;
  for (std::size_t i = 0; i < melody.notes.size(); ++i) {
    if (melody.notes[i].may_be_left_out()) continue;
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
    written.push_back(note.may_be_left_out() ? NoteStatus::optional_left_out : NoteStatus::missing);
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
  const std::vector<char> matched = matched_intervals(melody, assigned.notes);
  std::vector<std::vector<int>> sung_at;
  for (const Run& run : runs) {
    sung_at.push_back(counting_notes(melody, assigned.notes, run, matched));
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
