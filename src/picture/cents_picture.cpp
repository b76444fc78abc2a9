#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "firmus/picture.hpp"
#include "labels.hpp"
#include "legend.hpp"
#include "note_words.hpp"
#include "report/words.hpp"
#include "text_width.hpp"

namespace firmus {
using namespace picture;
namespace {

constexpr double left_px = 48, right_px = 748;
constexpr double min_slot_px = 24, max_slot_px = 44;
constexpr double half_height_px = 60;  ///< from 0 cents to the edge
constexpr double value_room_px = 18;   ///< beyond the edge, for figures
constexpr double grid_cents = 25, max_edge_cents = 100;
constexpr double line_px = 13, row_gap_px = 14;
constexpr double least_fill = 0.7;  ///< of a row, before a bar may begin the next one
constexpr double mark_px = 4, cap_px = 3;
constexpr double four_figures_px = 8;

using Notes = std::vector<const NoteResult*>;

/// What has a place in the line: written notes; without a melody all that were heard.
Notes notes_of(const Result& result) {
  Notes notes;
  for (const NoteResult& note : result.notes) {
    const bool written = note.index && note.status != NoteStatus::restart && note.status != NoteStatus::extra;
    if (result.melody ? written : note.onset_s.has_value()) notes.push_back(&note);
  }
  return notes;
}

bool same_bar(const NoteResult& a, const NoteResult& b) {
  return a.bar == b.bar && a.section == b.section && a.pass == b.pass;
}

struct CentsLayout {
  std::size_t per_row = 0;
  double slot_px = 0;
  double edge_cents = 0;
  double y_of(double middle, double cents) const {
    return middle - std::clamp(cents / edge_cents, -1.0, 1.0) * half_height_px;
  }
  double x_of(std::size_t place) const { return left_px + (static_cast<double>(place) + 0.5) * slot_px; }
};

double edge_of(const Result& result, const Notes& notes) {
  double furthest = 1.5 * result.settings.tolerance_cents;
  for (const NoteResult* note : notes)
    if (const auto error = report::error_of(result, *note))
      furthest = std::max(furthest, std::fabs(*error) + note->se_cents.value_or(0));
  const double least = 2 * grid_cents, most = std::max(max_edge_cents, 2 * result.settings.tolerance_cents);
  return std::clamp(grid_cents * std::ceil(furthest / grid_cents), least, most);
}

/// One after the last note of the row that begins with note `from`: where a bar begins, if one does near the end.
std::size_t end_of_row(const Notes& notes, const CentsLayout& layout, std::size_t from) {
  const std::size_t limit = from + layout.per_row;
  if (limit >= notes.size()) return notes.size();
  const auto least = from + static_cast<std::size_t>(least_fill * static_cast<double>(layout.per_row));
  for (std::size_t end = limit; end > least; --end)
    if (!same_bar(*notes[end - 1], *notes[end])) return end;
  return limit;
}

std::size_t rows_needed(const Notes& notes, const CentsLayout& layout) {
  std::size_t rows = 0;
  for (std::size_t from = 0; from < notes.size(); from = end_of_row(notes, layout, from)) ++rows;
  return rows;
}

/// As few rows as fit, none much shorter than the others.
CentsLayout lay_out(const Result& result, const Notes& notes) {
  CentsLayout layout;
  const auto most = static_cast<std::size_t>((right_px - left_px) / min_slot_px);
  layout.per_row = std::min(most, notes.size());
  const std::size_t rows = rows_needed(notes, layout);
  layout.per_row = (notes.size() + rows - 1) / rows;
  while (rows_needed(notes, layout) > rows) ++layout.per_row;
  layout.slot_px = std::min(max_slot_px, (right_px - left_px) / static_cast<double>(layout.per_row));
  layout.edge_cents = edge_of(result, notes);
  return layout;
}

/// A row: notes from `from` up to but without `to`.
struct Span {
  std::size_t from = 0, to = 0;
};

void draw_grid(Svg& svg, const Result& result, const CentsLayout& layout, double middle, double right) {
  const double tolerance = result.settings.tolerance_cents;
  svg.rect(left_px, layout.y_of(middle, tolerance), right - left_px,
           layout.y_of(middle, -tolerance) - layout.y_of(middle, tolerance), tune_band);
  const double step_cents = layout.edge_cents > max_edge_cents ? 2 * grid_cents : grid_cents;
  for (double cents = -step_cents * std::floor(layout.edge_cents / step_cents); cents <= layout.edge_cents;
       cents += step_cents) {
    const double y = layout.y_of(middle, cents);
    svg.line(left_px, y, right, y, {cents == 0 ? muted_ink : rule, cents == 0 ? 0.8 : 0.6});
    svg.text(left_px - 6, y + 3.5, cents == 0 ? "0" : fmt::format("{:+.0f}", cents),
             {small_px, muted_ink, Anchor::end});
  }
}

void draw_whisker(Svg& svg, const NoteResult& note, const CentsLayout& layout, double x, double middle, double error) {
  if (!note.se_cents) return;
  const double top = layout.y_of(middle, error + *note.se_cents), bottom = layout.y_of(middle, error - *note.se_cents);
  svg.line(x, top, x, bottom, {ink, 1});
  svg.line(x - cap_px, top, x + cap_px, top, {ink, 1});
  svg.line(x - cap_px, bottom, x + cap_px, bottom, {ink, 1});
}

/// The figure of a note that is off, beyond its mark and whisker.
void draw_value(Svg& svg, const NoteResult& note, const CentsLayout& layout, double x, double middle, double error) {
  if (note.verdict == Verdict::in_tune || !report::is_judged(note)) return;
  const double reach = note.se_cents.value_or(0), away = mark_px + 3;
  const double y = error > 0
                       ? std::min(layout.y_of(middle, error + reach), layout.y_of(middle, error) - mark_px) - away + 4
                       : std::max(layout.y_of(middle, error - reach), layout.y_of(middle, error) + mark_px) + away + 5;
  const std::string figure = fmt::format("{:.0f}", std::fabs(error));
  const double size = figure.size() > 3 ? four_figures_px : small_px;  // within the slot of the note
  svg.text(x, y, figure, {size, line_colour(mark_kind_of(note)), Anchor::middle, true});
}

void draw_note(Svg& svg, const Result& result, const NoteResult& note, const CentsLayout& layout, double x,
               double middle) {
  svg.begin_group("");
  svg.tooltip(note_in_words(result, note));
  const auto error = report::error_of(result, note);
  if (error) {
    const double y = layout.y_of(middle, *error);
    svg.line(x, middle, x, y, {line_colour(mark_kind_of(note)), 1});
    draw_whisker(svg, note, layout, x, middle, *error);
    add_mark(svg, x, y, mark_px, mark_kind_of(note));
    draw_value(svg, note, layout, x, middle, *error);
  } else if (note.status == NoteStatus::missing) {
    svg.line(x - mark_px, middle, x + mark_px, middle, {ink, 2.5});
  } else {
    add_mark(svg, x, middle, mark_px, MarkKind::unclear);
  }
  svg.end_group();
}

std::vector<Label> bar_labels(const Result& result, const Notes& notes, const CentsLayout& layout, const Span& row) {
  std::vector<Label> labels;
  for (std::size_t i = row.from; i < row.to; ++i) {
    if (!notes[i]->bar || (i > row.from && same_bar(*notes[i - 1], *notes[i]))) continue;
    NoteResult bar = *notes[i];
    bar.beat.reset();
    std::string text = report::place_of(result, bar);
    const double width = text_width(text, small_px), from = layout.x_of(i - row.from) - layout.slot_px / 2;
    labels.push_back({from + 3 + width / 2, width, std::move(text), 0, -1, static_cast<int>(i - row.from)});
  }
  place_labels(labels, left_px, right_px, 1, 5);
  return labels;
}

std::vector<Label> name_labels(const Notes& notes, const CentsLayout& layout, const Span& row) {
  std::vector<Label> labels;
  for (std::size_t i = row.from; i < row.to; ++i)
    labels.push_back({layout.x_of(i - row.from), text_width(name_of(*notes[i]), small_px), name_of(*notes[i])});
  place_labels(labels, left_px - 8, right_px + 8, 2, 2);
  return labels;
}

double draw_row(Svg& svg, const Result& result, const Notes& notes, const CentsLayout& layout, const Span& row,
                double top) {
  const std::vector<Label> bars = bar_labels(result, notes, layout, row), names = name_labels(notes, layout, row);
  const double bar_base = top + line_px * lines_used(bars);
  const double middle = bar_base + 4 + value_room_px + half_height_px;
  const double bottom = middle + half_height_px + value_room_px;
  draw_grid(svg, result, layout, middle, left_px + layout.slot_px * static_cast<double>(row.to - row.from));
  for (const Label& bar : bars) {
    const double x = layout.x_of(static_cast<std::size_t>(bar.owner)) - layout.slot_px / 2;
    svg.line(x, bar_base - 9, x, bottom, {rule, 0.8});
    if (bar.line >= 0) svg.text(bar.x, bar_base, bar.text, {small_px, muted_ink, Anchor::start});
  }
  for (std::size_t i = row.from; i < row.to; ++i)
    draw_note(svg, result, *notes[i], layout, layout.x_of(i - row.from), middle);
  for (const Label& name : names)
    if (name.line >= 0)
      svg.text(name.x, bottom + line_px * (name.line + 1) - 2, name.text, {small_px, ink, Anchor::start});
  return bottom + line_px * lines_used(names);
}

std::string against(const Result& result) {
  if (!result.melody) return "the nearest note";
  switch (result.settings.reference) {
    case Reference::concert:
      return "concert pitch";
    case Reference::own:
      return "your own pitch";
    case Reference::interval:
      return "the written interval from the note before";
  }
  return {};
}

std::vector<LegendEntry> legend_of(const Result& result) {
  using Symbol = LegendEntry::Symbol;
  std::vector<LegendEntry> entries{
      {Symbol::mark, MarkKind::sharp, "sharp, in cents"},
      {Symbol::mark, MarkKind::flat, "flat, in cents"},
      {Symbol::mark, MarkKind::in_tune, "in tune"},
      {Symbol::band, MarkKind::in_tune, fmt::format("within {:g} cents", result.settings.tolerance_cents)},
      {Symbol::whisker, MarkKind::in_tune, "one standard error either way"}};
  if (result.summary.other_note > 0) entries.push_back({Symbol::mark, MarkKind::other_note, "another note"});
  if (result.summary.unclear > 0) entries.push_back({Symbol::mark, MarkKind::unclear, "could not be judged"});
  if (result.summary.missing > 0) entries.push_back({Symbol::missing, MarkKind::unclear, "missing"});
  return entries;
}

}  // namespace

std::string cents_picture(const Result& result) {
  const report::ResultStatus standing = report::result_status_of(result);
  if (result.error || standing == report::ResultStatus::not_this_melody ||
      standing == report::ResultStatus::nothing_judged)
    return {};
  const Notes notes = notes_of(result);
  if (notes.empty()) return {};
  const CentsLayout layout = lay_out(result, notes);
  Svg svg;
  double y = draw_legend(svg, legend_of(result), left_px, 4) + 6;
  for (Span row{0, 0}; row.from < notes.size(); row.from = row.to) {
    row.to = end_of_row(notes, layout, row.from);
    svg.page_break(y);
    y = draw_row(svg, result, notes, layout, row, y) + row_gap_px;
  }
  return svg.finish(width_px, y, "cents", "Cents off, note by note, against " + against(result),
                    fmt::format("Each note in turn with its distance from {}, and one standard error either way. {}",
                                against(result), notes_off_in_words(result)));
}

}  // namespace firmus
