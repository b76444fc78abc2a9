#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "firmus/take.hpp"
#include "interval_words.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

std::string centre_in_words(const Result& result) {
  const double cents = result.centre_cents.value_or(0);
  const auto whole = std::llround(std::fabs(cents));
  const std::string concert = fmt::format("{:g}", result.settings.a4_hz);
  const std::string where = whole == 0 ? "exactly A = " + concert
                                       : fmt::format("{} {} {}", counted(static_cast<int>(whole), "cent"),
                                                     cents < 0 ? "under" : "over", concert);
  if (!result.centre_a4_hz || whole == 0) return where;
  return fmt::format("{:.0f} Hz ({})", *result.centre_a4_hz, where);
}

/// The keys written at the notes of a result; none where its text cannot be read. Parsed only where a key is to be
/// named.
class WrittenKeys {
 public:
  explicit WrittenKeys(const Result& result) : first_(result.melody ? first_key(*result.melody) : std::nullopt) {
    if (first_) melody_ = melody_of(result, result.take.name);
  }
  std::optional<Key> at(int index) const {
    const bool known = melody_ && index >= 0 && static_cast<std::size_t>(index) < melody_->notes.size();
    return known ? melody_->note(index).key : first_;
  }

 private:
  static std::optional<Key> first_key(const MelodyFacts& melody) {
    return melody.key ? parse_key(*melody.key) : std::nullopt;
  }
  std::optional<Key> first_;
  std::optional<Melody> melody_;
};

/// "E flat major, a semitone higher, an octave down". A transposition by octaves does not change the key.
std::string sung_key_in_words(const std::optional<Key>& written, int semitones) {
  const std::string shift = shift_in_words(semitones);
  return written ? key_in_words(moved_key(*written, semitones)) + ", " + shift : shift;
}

bool key_changes(const Result& result) {
  for (const KeySegment& key_segment : result.key_segments)
    if (key_segment.transposition_semitones != result.key_segments.front().transposition_semitones) return true;
  return false;
}

void add_key(Page& page, const Result& result) {
  const WrittenKeys written(result);
  if (!key_changes(result)) {
    if (result.transposition_semitones)
      page.entry("Key", sung_key_in_words(written.at(0), *result.transposition_semitones));
    return;
  }
  std::string words;
  for (const KeySegment& key_segment : result.key_segments)
    words += fmt::format("{}from {} {}", words.empty() ? "" : "; ", bar_of(result, key_segment.from_index),
                         sung_key_in_words(written.at(key_segment.from_index), key_segment.transposition_semitones));
  page.entry("Key", words);
}

/// Seconds from the first to the last onset in the key segment; 0 without a sung note.
double length_of(const Result& result, const KeySegment& key_segment) {
  std::optional<double> from_s, to_s;
  for (const NoteResult& note : result.notes) {
    if (note.status != NoteStatus::sung || !note.index || !note.onset_s) continue;
    if (*note.index < key_segment.from_index || *note.index > key_segment.to_index) continue;
    if (!from_s) from_s = note.onset_s;
    to_s = note.onset_s;
  }
  return from_s ? *to_s - *from_s : 0;
}

/// "dropped 72 cents from start to end"; how sure that is stands in the JSON and on the page.
std::string drift_in_words(const Result& result, const KeySegment& key_segment) {
  if (!key_segment.drift_cents_per_minute) return "too short to tell";
  const double drift = *key_segment.drift_cents_per_minute;
  if (!key_segment.drift_significant) return "none measurable";
  const auto on_the_way = std::llround(std::fabs(drift) * length_of(result, key_segment) / 60);
  return fmt::format("{} {} from start to end", drift < 0 ? "dropped" : "rose",
                     counted(static_cast<int>(on_the_way), "cent"));
}

void add_drift(Page& page, const Result& result) {
  if (result.key_segments.empty()) return;
  if (result.key_segments.size() == 1)
    return page.entry("Pitch drift", drift_in_words(result, result.key_segments.front()));
  std::string words;
  for (const KeySegment& key_segment : result.key_segments)
    words += fmt::format("{}from {} {}", words.empty() ? "" : "; ", bar_of(result, key_segment.from_index),
                         drift_in_words(result, key_segment));
  page.entry("Pitch drift", words);
}

/// Shown when the tempo differs from the written one by a factor of 4/3 or more: the written tempo is a hint, and a
/// slow take is not an error.
void add_pace(Page& page, const Result& result) {
  constexpr double worth_saying = 4.0 / 3;
  if (!result.tempo_bpm || !result.melody || !result.melody->tempo) return;
  const std::string& written = *result.melody->tempo;
  double written_bpm = 0;
  const auto [end, error] = std::from_chars(written.data(), written.data() + written.size(), written_bpm);
  if (error != std::errc() || end != written.data() + written.size() || written_bpm <= 0) return;
  const double ratio = *result.tempo_bpm / written_bpm;
  if (ratio < worth_saying && ratio > 1 / worth_saying) return;
  page.entry("Tempo", fmt::format("{:.0f} beats a minute, {:.1f} times {} than written ({:g})", *result.tempo_bpm,
                                  ratio > 1 ? ratio : 1 / ratio, ratio > 1 ? "faster" : "slower", written_bpm));
}

int notes_named(const Result& result) {
  return static_cast<int>(
      std::count_if(result.notes.begin(), result.notes.end(), [](const NoteResult& note) { return note.written; }));
}

}  // namespace

void add_centre(Page& page, const Result& result) {
  if (!result.melody && !result.centre_cents && notes_named(result) > 0)
    page.entry("Your A", "not clear: the notes lie anywhere between the semitones");
  if (result.centre_a4_hz || result.centre_cents) page.entry("Your A", centre_in_words(result));
  add_key(page, result);
  add_drift(page, result);
  add_pace(page, result);
}

void add_longest_in_tune(Page& page, const Result& result) {
  if (!result.melody) return;
  struct Run {
    int notes = 0;
    const NoteResult* first = nullptr;
    const NoteResult* last = nullptr;
  } run, longest;
  for (const NoteResult& note : result.notes) {
    if (!note.index || note.status == NoteStatus::restart) continue;
    if (note.verdict == Verdict::in_tune) {
      run = {run.notes + 1, run.first ? run.first : &note, &note};
      if (run.notes > longest.notes) longest = run;
    } else if (is_judged(note) || note.status == NoteStatus::missing) {
      run = {};  // a note that could not be judged neither lengthens a run nor ends it
    }
  }
  if (longest.notes < 2) return;
  const std::string from = bar_of(result, *longest.first->index), to = bar_of(result, *longest.last->index);
  std::string words =
      fmt::format("{} in tune ({})", counted(longest.notes, "note"), from == to ? from : from + " to " + to);
  if (longest.first->onset_s) words += ", from " + clock_time(*longest.first->onset_s);
  page.entry("Longest run", words);
}

}  // namespace firmus::report
