#include "line_breaks.hpp"

#include <algorithm>
#include <optional>

namespace firmus::picture {
namespace {

constexpr double margin_s = 0.25;           ///< shown before the first note of a row and after the last
constexpr double min_row_fill = 0.55;       ///< share of a row that is filled before the best break is searched for
constexpr double phrase_end_bonus_s = 1.0;  ///< the end of a phrase counts as this much more silence
constexpr double longest_silence_s = 3.0;   ///< within a row; a longer silence ends the row

/// A possible end of a row.
struct Break {
  double at_s = 0;   ///< end of the row
  double score = 0;  ///< seconds of silence, with the bonus for the end of a phrase
};

/// The break between note i and the next note.
Break break_after(std::span<const PlacedNote> notes, std::size_t i) {
  const double end = notes[i].end_s, next = std::max(notes[i + 1].onset_s, end);
  const bool ends_phrase =
      notes[i].note->phrase && notes[i + 1].note->phrase && *notes[i].note->phrase != *notes[i + 1].note->phrase;
  return {std::min(end + margin_s, (end + next) / 2), next - end + (ends_phrase ? phrase_end_bonus_s : 0)};
}

/// End of the row that begins at `from_s`: at a long silence; else at the end of the take when it fits; else at the
/// break with the highest score in the last part of the row; else at the last break; else within a note.
double end_of_row(std::span<const PlacedNote> notes, double from_s, double last_s, double longest_s) {
  std::optional<Break> best, last;
  for (std::size_t i = 0; i + 1 < notes.size(); ++i) {
    if (notes[i].end_s <= from_s) continue;
    const Break here = break_after(notes, i);
    if (here.at_s > from_s + longest_s) break;
    if (notes[i + 1].onset_s - notes[i].end_s > longest_silence_s) return here.at_s;
    last = here;
    if (here.at_s >= from_s + min_row_fill * longest_s && (!best || here.score >= best->score)) best = here;
  }
  if (last_s - from_s <= longest_s) return last_s;
  return best ? best->at_s : last ? last->at_s : from_s + longest_s;
}

}  // namespace

std::vector<Row> break_into_rows(std::span<const PlacedNote> notes, double take_s, double longest_s) {
  std::vector<Row> rows;
  if (notes.empty()) return rows;
  double last_s = 0;
  for (const PlacedNote& note : notes) last_s = std::max(last_s, note.end_s);
  last_s = std::max(last_s, std::min(last_s + margin_s, take_s));
  double from_s = std::max(0.0, notes.front().onset_s - margin_s);
  while (from_s < last_s) {
    const double to_s = end_of_row(notes, from_s, last_s, longest_s);
    rows.push_back({from_s, to_s});
    const auto next = std::find_if(notes.begin(), notes.end(), [&](const PlacedNote& n) { return n.end_s > to_s; });
    if (next == notes.end()) break;
    from_s = std::max(to_s, next->onset_s - margin_s);
  }
  return rows;
}

}  // namespace firmus::picture
