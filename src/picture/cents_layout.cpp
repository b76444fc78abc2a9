#include "cents_layout.hpp"

#include <algorithm>
#include <cmath>

#include "note_words.hpp"
#include "report/words.hpp"
#include "text_width.hpp"
#include "theme.hpp"

namespace firmus::picture {
namespace {

constexpr double min_slot_px = 24, max_slot_px = 44;
constexpr double min_fill = 0.7;  ///< share of a row that is filled before it may end at a bar line

bool same_bar(const NoteResult& a, const NoteResult& b) {
  return a.bar == b.bar && a.section == b.section && a.pass == b.pass;
}

double cents_edge(const Result& result, const NoteSequence& notes) {
  double furthest = 1.5 * result.settings.tolerance_cents;
  for (const NoteResult* note : notes)
    if (const auto error = report::error_of(result, *note))
      furthest = std::max(furthest, std::fabs(*error) + note->se_cents.value_or(0));
  const double lowest = 2 * grid_cents, highest = std::max(max_edge_cents, 2 * result.settings.tolerance_cents.value());
  return std::clamp(grid_cents * std::ceil(furthest / grid_cents), lowest, highest);
}

/// One after the last note of the row that begins with note `begin`: before a bar line in the last part of the row, if
/// there is one.
std::size_t row_end(const NoteSequence& notes, const CentsLayout& layout, std::size_t begin) {
  const std::size_t limit = begin + layout.notes_per_row;
  if (limit >= notes.size()) return notes.size();
  const auto shortest = begin + static_cast<std::size_t>(min_fill * static_cast<double>(layout.notes_per_row));
  for (std::size_t end = limit; end > shortest; --end)
    if (!same_bar(*notes[end - 1], *notes[end])) return end;
  return limit;
}

std::size_t rows_needed(const NoteSequence& notes, const CentsLayout& layout) {
  std::size_t rows = 0;
  for (std::size_t from = 0; from < notes.size(); from = row_end(notes, layout, from)) ++rows;
  return rows;
}

}  // namespace

NoteSequence notes_in_sequence(const Result& result) {
  NoteSequence notes;
  for (const NoteResult& note : result.notes) {
    const bool written = note.index && note.status != NoteStatus::restart && note.status != NoteStatus::extra;
    if (result.melody ? written : note.onset_s.has_value()) notes.push_back(&note);
  }
  return notes;
}

double CentsLayout::y_of(double zero_y, double cents) const {
  return zero_y - std::clamp(cents / edge_cents, -1.0, 1.0) * half_height_px;
}

CentsLayout cents_layout(const Result& result, const NoteSequence& notes) {
  CentsLayout layout;
  const auto most_that_fit = static_cast<std::size_t>((cents_right_px - cents_left_px) / min_slot_px);
  layout.notes_per_row = std::min(most_that_fit, notes.size());
  const std::size_t rows = rows_needed(notes, layout);
  layout.notes_per_row = (notes.size() + rows - 1) / rows;
  while (rows_needed(notes, layout) > rows) ++layout.notes_per_row;
  layout.slot_px = std::min(max_slot_px, (cents_right_px - cents_left_px) / static_cast<double>(layout.notes_per_row));
  layout.edge_cents = cents_edge(result, notes);
  return layout;
}

NoteRow row_from(const NoteSequence& notes, const CentsLayout& layout, std::size_t begin) {
  return {begin, row_end(notes, layout, begin)};
}

std::vector<Label> bar_labels(const Result& result, const NoteSequence& notes, const CentsLayout& layout,
                              const NoteRow& row) {
  std::vector<Label> labels;
  for (std::size_t i = row.begin; i < row.end; ++i) {
    if (!notes[i]->bar || (i > row.begin && same_bar(*notes[i - 1], *notes[i]))) continue;
    NoteResult bar = *notes[i];
    bar.beat.reset();
    std::string text = report::place_of(result, bar);
    const double width = text_width(text, small_px), from = layout.x_of(i - row.begin) - layout.slot_px / 2;
    labels.push_back({from + 3 + width / 2, width, std::move(text), 0, -1, static_cast<int>(i - row.begin)});
  }
  place_labels(labels, cents_left_px, cents_right_px, 1, 5);
  return labels;
}

std::vector<Label> name_labels(const NoteSequence& notes, const CentsLayout& layout, const NoteRow& row) {
  std::vector<Label> labels;
  for (std::size_t i = row.begin; i < row.end; ++i)
    labels.push_back({layout.x_of(i - row.begin), text_width(name_of(*notes[i]), small_px), name_of(*notes[i])});
  place_labels(labels, cents_left_px - 8, cents_right_px + 8, 2, 2);
  return labels;
}

}  // namespace firmus::picture
