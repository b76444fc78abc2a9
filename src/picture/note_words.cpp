#include "note_words.hpp"

#include <fmt/format.h>

#include "report/words.hpp"

namespace firmus::picture {
namespace {

constexpr std::size_t max_notes_listed = 12;

std::string note_status_in_words(const Result& result, const NoteResult& note) {
  if (note.status == NoteStatus::missing) return "missing";
  if (note.status == NoteStatus::optional_left_out) return "left out, as the melody allows";
  if (note.status == NoteStatus::extra && result.melody) return "not written";
  if (note.status == NoteStatus::restart) return "sung again later";
  if (note.unclear_reason) return report::reason_in_words(*note.unclear_reason);
  const auto error = report::error_of(result, note);
  return error ? report::cents_off(*error) : "not judged";
}

}  // namespace

std::string name_of(const NoteResult& note) {
  return note.written.value_or(note.sung.value_or(""));
}

std::string note_in_words(const Result& result, const NoteResult& note) {
  std::string words = name_of(note);
  const std::string place = report::place_of(result, note);
  if (!place.empty()) words += ", " + place;
  if (note.word) words += ", " + *note.word;
  words += ": " + note_status_in_words(result, note);
  if (note.onset_s) words += ", at " + report::clock_time(*note.onset_s);
  return words;
}

std::string notes_off_in_words(const Result& result) {
  std::vector<std::string> off;
  std::size_t more = 0;
  for (const NoteResult& note : result.notes) {
    const bool is_off =
        note.status == NoteStatus::missing || (report::is_judged(note) && note.verdict != Verdict::in_tune);
    if (!is_off) continue;
    if (off.size() < max_notes_listed) {
      off.push_back(note_in_words(result, note));
    } else {
      ++more;
    }
  }
  const Summary& summary = result.summary;
  std::string words = fmt::format("{} of {} in tune.", summary.in_tune, report::counted(summary.judged, "note"));
  if (!off.empty()) words += fmt::format(" Off: {}", fmt::join(off, "; "));
  if (more > 0) words += fmt::format("; and {} more", more);
  return off.empty() ? words : words + ".";
}

}  // namespace firmus::picture
