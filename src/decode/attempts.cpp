#include "attempts.hpp"

#include <algorithm>

#include "alignment.hpp"

namespace firmus::decode {
namespace {

constexpr double full_try = 0.8;       // share of the written notes that makes a try a full one
constexpr double begins_again = 0.15;  // going back to within so much of the beginning starts a new try

constexpr double goes_as_written = 0.4;  // least share of good steps in a try: talk fits here and there only

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

/// The first time each written note was sung within a run; -1 where it was not. Annotators, too, take what is sung
/// again for the addition.
std::vector<int> first_sung(const Melody& melody, const std::vector<DecodedNote>& notes, const Run& run) {
  std::vector<int> at(melody.notes.size(), -1);
  for (std::size_t i = run.first; i <= run.last; ++i)
    if (notes[i].written && at[static_cast<std::size_t>(*notes[i].written)] < 0)
      at[static_cast<std::size_t>(*notes[i].written)] = static_cast<int>(i);
  return at;
}

Attempt describe(const std::vector<DecodedNote>& notes, const Run& run, const std::vector<int>& at) {
  Attempt attempt;
  attempt.from_s = notes[run.first].onset_s;
  attempt.to_s = notes[run.last].end_s;
  const auto first = std::ranges::find_if(at, [](int i) { return i >= 0; });
  const auto last = std::find_if(at.rbegin(), at.rend(), [](int i) { return i >= 0; }).base();
  attempt.written_from = static_cast<int>(first - at.begin());
  attempt.written_to = static_cast<int>(last - at.begin()) - 1;
  attempt.sung = static_cast<int>(std::ranges::count_if(at, [](int i) { return i >= 0; }));
  attempt.missing = static_cast<int>(at.size()) - attempt.sung;
  for (std::size_t i = run.first; i <= run.last; ++i) attempt.extra += notes[i].written ? 0 : 1;
  return attempt;
}

}  // namespace

void drop_speech(const Melody& melody, std::vector<DecodedNote>& notes) {
  const std::vector<char> good = matched_intervals(melody, notes);
  const std::vector<Run> runs = split_runs(melody, notes);
  if (runs.size() > 1) {
    for (const Run& run : runs) {
      const auto begin = good.begin() + static_cast<std::ptrdiff_t>(run.first),
                 end = good.begin() + static_cast<std::ptrdiff_t>(run.last);
      if (run.last > run.first &&
          static_cast<double>(std::count(begin, end, 1)) >= goes_as_written * static_cast<double>(end - begin))
        continue;
      for (std::size_t i = run.first; i <= run.last; ++i) {
        notes[i].written.reset();
        notes[i].status = NoteStatus::extra;
      }
    }
  }
  const auto first = std::ranges::find_if(notes, [](const DecodedNote& note) { return note.written.has_value(); });
  if (first != notes.end()) notes.erase(notes.begin(), first);
}

void sort_out_tries(const Melody& melody, Decoded& decoded) {
  const std::vector<Run> runs = split_runs(melody, decoded.notes);
  decoded.attempts.clear();
  decoded.written.assign(melody.notes.size(), NoteStatus::missing);
  std::vector<std::vector<int>> sung_at;
  for (const Run& run : runs) {
    sung_at.push_back(first_sung(melody, decoded.notes, run));
    decoded.attempts.push_back(describe(decoded.notes, run, sung_at.back()));
  }
  for (std::size_t j = 0; j < melody.notes.size(); ++j)
    if (melody.notes[j].mark == NoteMark::maybe || melody.notes[j].grace)
      decoded.written[j] = NoteStatus::optional_left_out;
  if (runs.empty()) return;
  std::size_t counts = runs.size() - 1;
  for (std::size_t r = 0; r < runs.size(); ++r)
    if (decoded.attempts[r].sung >= full_try * static_cast<double>(melody.notes.size())) counts = r;
  decoded.attempts[counts].counts = true;
  for (std::size_t r = 0; r < runs.size(); ++r) {
    for (std::size_t i = runs[r].first; i <= runs[r].last; ++i) {
      auto& note = decoded.notes[i];
      note.attempt = static_cast<int>(r);
      if (!note.written) continue;
      const bool is_the_one = r == counts && sung_at[r][static_cast<std::size_t>(*note.written)] == static_cast<int>(i);
      note.status = is_the_one ? NoteStatus::sung : NoteStatus::restart;
      if (is_the_one) decoded.written[static_cast<std::size_t>(*note.written)] = NoteStatus::sung;
    }
  }
  decoded.matched_share = decoded.attempts[counts].sung / static_cast<double>(melody.notes.size());
}

}  // namespace firmus::decode
