#include "key_readings.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>
#include <vector>

#include "base/statistics.hpp"

namespace firmus::studio {
namespace {

constexpr double most_points_apart = 5;      // percent: further apart, the mark is for the teacher to give
constexpr double other_key_cents = 50;       // half a semitone: beyond it a phrase is nearer to another key
constexpr std::size_t fewest_in_phrase = 5;  // the median of fewer notes may be that of single wrong ones
constexpr double other_note_cents = 100;     // as verdicts are given

bool has_error(const NoteResult& note) {
  return note.index && note.status == NoteStatus::sung && note.errors.own_cents;
}

/// Changes the error of a note to what it is in another key.
void move_error(NoteResult& note, double cents) {
  const double error = *note.errors.own_cents + cents;
  note.errors.own_cents = error;
  if (std::fabs(error) > other_note_cents) {
    note.verdict = Verdict::other_note;
  } else if (note.verdict == Verdict::other_note) {
    note.verdict = error > 0 ? Verdict::sharp : Verdict::flat;
  }
}

const KeySegment* segment_of(const Result& result, int index) {
  for (const KeySegment& segment : result.key_segments)
    if (segment.from_index <= index && index <= segment.to_index) return &segment;
  return nullptr;
}

/// From the centre of `from` to that of `to`, octaves aside.
double cents_between_centres(const KeySegment& from, const KeySegment& to) {
  const double cents =
      100.0 * (to.transposition_semitones - from.transposition_semitones) + to.centre_cents - from.centre_cents;
  return std::remainder(cents, 1200.0);
}

/// The segment with the most notes that have an error.
const KeySegment& main_segment(const Result& result) {
  std::map<const KeySegment*, int> notes;
  for (const NoteResult& note : result.notes)
    if (has_error(note)) ++notes[segment_of(result, *note.index)];
  return *std::max_element(result.key_segments.begin(), result.key_segments.end(),
                           [&](const auto& a, const auto& b) { return notes[&a] < notes[&b]; });
}

/// What is added to the error of each note, in the order of the notes, to read it in another key; 0 for the others.
using Shifts = std::vector<double>;

Shifts in_one_key(const Result& result) {
  Shifts shifts;
  const KeySegment& main = main_segment(result);
  for (const NoteResult& note : result.notes) {
    const KeySegment* segment = has_error(note) ? segment_of(result, *note.index) : nullptr;
    shifts.push_back(segment ? cents_between_centres(main, *segment) : 0);
  }
  return shifts;
}

Shifts with_phrases_in_other_keys(const Result& result) {
  std::map<int, std::vector<double>> errors;
  for (const NoteResult& note : result.notes)
    if (has_error(note) && note.phrase) errors[*note.phrase].push_back(*note.errors.own_cents);
  Shifts shifts;
  for (const NoteResult& note : result.notes) {
    const bool in_phrase = has_error(note) && note.phrase && errors[*note.phrase].size() >= fewest_in_phrase;
    const double centre = in_phrase ? median(errors[*note.phrase]) : 0;
    shifts.push_back(std::fabs(centre) > other_key_cents ? -centre : 0);
  }
  return shifts;
}

Result read_with(const Result& result, const Shifts& shifts) {
  Result reading = result;
  for (std::size_t i = 0; i < shifts.size(); ++i)
    if (shifts[i] != 0) move_error(reading.notes[i], shifts[i]);
  return reading;
}

/// The bar in which a key other than the first begins.
std::optional<int> bar_of_change(const Result& result, const Shifts& shifts) {
  std::optional<double> first;
  for (std::size_t i = 0; i < shifts.size(); ++i) {
    if (!has_error(result.notes[i])) continue;
    if (!first) first = shifts[i];
    if (shifts[i] != *first) return result.notes[i].bar;
  }
  return std::nullopt;
}

}  // namespace

std::optional<KeyDoubt> doubt_about_key(const Result& result, const Rubric& rubric, const MarkBreakdown& made) {
  if (result.settings.reference != Reference::own || result.key_segments.empty() || !made.percent) return std::nullopt;
  const bool heard_as_changing = result.key_segments.size() > 1;
  const Shifts shifts = heard_as_changing ? in_one_key(result) : with_phrases_in_other_keys(result);
  const auto percent = mark_breakdown(read_with(result, shifts), rubric).percent;
  if (!percent || std::fabs(*percent - *made.percent) <= most_points_apart) return std::nullopt;
  KeyDoubt doubt{*made.percent, *percent, bar_of_change(result, shifts)};
  if (!heard_as_changing) std::swap(doubt.percent_if_changed, doubt.percent_if_not);
  return doubt;
}

}  // namespace firmus::studio
