#include <fmt/format.h>

#include <map>

#include "base/base.hpp"
#include "text_blocks.hpp"

namespace firmus::report {

std::string reason_in_words(UnclearReason reason) {
  switch (reason) {
    case UnclearReason::too_short:
      return "too short to tell";
    case UnclearReason::noisy:
      return "too noisy";
    case UnclearReason::unstable:
      return "with a pitch that is not steady enough";
    case UnclearReason::two_voices:
      return "with another sound at the same time: a voice, an instrument or an echo";
    case UnclearReason::clipped:
      return "distorted";
    case UnclearReason::cut_off:
      return "cut off by the end of the recording";
    case UnclearReason::joined:
      return "sung as one with the note before";
  }
  return {};
}

namespace {

constexpr std::size_t most_places_named = 3;

/// A run of consecutive written notes.
struct Run {
  int first_index = 0, last_index = 0;
  std::string first_place, last_place;
  std::string in_words() const { return first_index == last_index ? first_place : first_place + " to " + last_place; }
};

/// The notes that were not judged, grouped by reason, in the order in which the reasons first occur.
class Reasons {
 public:
  void add(const std::string& reason, int index, const std::string& place) {
    auto [at, is_new] = runs_.try_emplace(reason);
    if (is_new) order_.push_back(reason);
    std::vector<Run>& runs = at->second;
    ++count_[reason];
    ++total_;
    if (!runs.empty() && runs.back().last_index + 1 == index) {
      runs.back().last_index = index;
      runs.back().last_place = place;
    } else {
      runs.push_back({index, index, place, place});
    }
  }
  int total() const { return total_; }
  std::string in_words() const {
    std::vector<std::string> parts;
    for (const std::string& reason : order_) parts.push_back(part(reason));
    return listed(parts);
  }

 private:
  std::string part(const std::string& reason) const {
    const std::vector<Run>& runs = runs_.at(reason);
    std::string text = fmt::format("{} {}", count_.at(reason), reason);
    if (runs.size() > most_places_named) return text;
    std::vector<std::string> places;
    for (const Run& run : runs) places.push_back(run.in_words());
    return text + fmt::format(" ({})", fmt::join(places, "; "));
  }
  std::map<std::string, std::vector<Run>> runs_;
  std::map<std::string, int> count_;
  std::vector<std::string> order_;
  int total_ = 0;
};

std::string reason_of(const NoteResult& note) {
  if (note.status == NoteStatus::missing) return "not heard";
  if (note.unclear_reason) return reason_in_words(*note.unclear_reason);
  return "without a verdict";
}

int notes_with(const Result& result, NoteStatus status) {
  int count = 0;
  for (const NoteResult& note : result.notes) count += note.status == status ? 1 : 0;
  return count;
}

}  // namespace

void add_not_judged(Page& page, const Result& result) {
  if (!result.melody) return;
  Reasons reasons;
  for (const NoteResult& note : result.notes) {
    const bool written = note.index && note.status != NoteStatus::restart && note.status != NoteStatus::extra;
    if (written && !note.may_be_left_out && !is_judged(note))
      reasons.add(reason_of(note), *note.index, place_of(result, note));
  }
  std::string words = reasons.total() == 0 ? "nothing, every note could be judged"
                                           : fmt::format("{} of {}: {}", reasons.total(),
                                                         counted(result.summary.written, "note"), reasons.in_words());
  std::vector<std::string> besides;
  if (result.summary.extra > 0) besides.push_back(counted(result.summary.extra, "extra note"));
  if (const int again = notes_with(result, NoteStatus::restart); again > 0)
    besides.push_back(counted(again, "note") + " of earlier tries");
  if (const int left_out = notes_with(result, NoteStatus::optional_left_out); left_out > 0)
    besides.push_back(counted(left_out, "note") + " left out, as the melody allows");
  if (!besides.empty()) words += fmt::format(". Left out: {}", listed(besides));
  page.entry("Not judged", words + ".");
}

}  // namespace firmus::report
