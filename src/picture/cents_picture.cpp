#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cents_layout.hpp"
#include "firmus/picture.hpp"
#include "legend.hpp"
#include "note_words.hpp"
#include "report/words.hpp"
#include "text_width.hpp"

namespace firmus::picture {
namespace {

constexpr double value_room_px = 18;  ///< above and below the scale, for the figures of notes at its edge
constexpr double label_line_px = 13, row_gap_px = 14;
constexpr double cents_mark_px = 4, whisker_cap_px = 3;
constexpr double four_digits_px = 8;  ///< font size of a figure of four digits

void draw_cents_grid(Svg& svg, const Result& result, const CentsLayout& layout, double zero_y, double right) {
  const double tolerance = result.settings.tolerance_cents;
  svg.rect(cents_left_px, layout.y_of(zero_y, tolerance), right - cents_left_px,
           layout.y_of(zero_y, -tolerance) - layout.y_of(zero_y, tolerance), tune_band);
  const double step_cents = layout.edge_cents > max_edge_cents ? 2 * grid_cents : grid_cents;
  for (double cents = -step_cents * std::floor(layout.edge_cents / step_cents); cents <= layout.edge_cents;
       cents += step_cents) {
    const double y = layout.y_of(zero_y, cents);
    svg.line(cents_left_px, y, right, y, {cents == 0 ? muted_ink : rule, cents == 0 ? 0.8 : 0.6});
    svg.text(cents_left_px - 6, y + 3.5, cents == 0 ? "0" : fmt::format("{:+.0f}", cents),
             {small_px, muted_ink, Anchor::end});
  }
}

void draw_whisker(Svg& svg, const NoteResult& note, const CentsLayout& layout, double x, double zero_y, double error) {
  if (!note.se_cents) return;
  const double top = layout.y_of(zero_y, error + *note.se_cents), bottom = layout.y_of(zero_y, error - *note.se_cents);
  svg.line(x, top, x, bottom, {ink, 1});
  svg.line(x - whisker_cap_px, top, x + whisker_cap_px, top, {ink, 1});
  svg.line(x - whisker_cap_px, bottom, x + whisker_cap_px, bottom, {ink, 1});
}

/// The figure of a note that is off, beyond its mark and whisker.
void draw_cents_value(Svg& svg, const NoteResult& note, const CentsLayout& layout, double x, double zero_y,
                      double error) {
  if (note.verdict == Verdict::in_tune || !report::is_judged(note)) return;
  const double reach = note.se_cents.value_or(0), away = cents_mark_px + 3;
  const double y =
      error > 0 ? std::min(layout.y_of(zero_y, error + reach), layout.y_of(zero_y, error) - cents_mark_px) - away + 4
                : std::max(layout.y_of(zero_y, error - reach), layout.y_of(zero_y, error) + cents_mark_px) + away + 5;
  const std::string figure = fmt::format("{:.0f}", std::fabs(error));
  const double size = figure.size() > 3 ? four_digits_px : small_px;  // within the slot of the note
  svg.text(x, y, figure, {size, line_colour(mark_kind_of(note)), Anchor::middle, true});
}

void draw_cents_note(Svg& svg, const Result& result, const NoteResult& note, const CentsLayout& layout, double x,
                     double zero_y) {
  svg.begin_group("");
  svg.tooltip(note_in_words(result, note));
  const auto error = report::error_of(result, note);
  if (error) {
    const double y = layout.y_of(zero_y, *error);
    svg.line(x, zero_y, x, y, {line_colour(mark_kind_of(note)), 1});
    draw_whisker(svg, note, layout, x, zero_y, *error);
    add_mark(svg, x, y, cents_mark_px, mark_kind_of(note));
    draw_cents_value(svg, note, layout, x, zero_y, *error);
  } else if (note.status == NoteStatus::missing) {
    svg.line(x - cents_mark_px, zero_y, x + cents_mark_px, zero_y, {ink, 2.5});
  } else {
    add_mark(svg, x, zero_y, cents_mark_px, MarkKind::unclear);
  }
  svg.end_group();
}

double draw_cents_row(Svg& svg, const Result& result, const NoteSequence& notes, const CentsLayout& layout,
                      const NoteRow& row, double top) {
  const std::vector<Label> bars = bar_labels(result, notes, layout, row), names = name_labels(notes, layout, row);
  const double bar_base = top + label_line_px * lines_used(bars);
  const double zero_y = bar_base + 4 + value_room_px + half_height_px;
  const double bottom = zero_y + half_height_px + value_room_px;
  draw_cents_grid(svg, result, layout, zero_y,
                  cents_left_px + layout.slot_px * static_cast<double>(row.end - row.begin));
  for (const Label& bar : bars) {
    const double x = layout.x_of(static_cast<std::size_t>(bar.owner)) - layout.slot_px / 2;
    svg.line(x, bar_base - 9, x, bottom, {rule, 0.8});
    if (bar.line >= 0) svg.text(bar.x, bar_base, bar.text, {small_px, muted_ink, Anchor::start});
  }
  for (std::size_t i = row.begin; i < row.end; ++i)
    draw_cents_note(svg, result, *notes[i], layout, layout.x_of(i - row.begin), zero_y);
  for (const Label& name : names)
    if (name.line >= 0)
      svg.text(name.x, bottom + label_line_px * (name.line + 1) - 2, name.text, {small_px, ink, Anchor::start});
  return bottom + label_line_px * lines_used(names);
}

std::string reference_in_words(const Result& result) {
  switch (result.settings.reference) {
    case Reference::concert:
      return "concert pitch";
    case Reference::own:
      return "your pitch";
    case Reference::interval:
      return "the written interval from the note before";
  }
  return {};
}

std::vector<LegendEntry> cents_legend(const Result& result) {
  using Symbol = LegendEntry::Symbol;
  std::vector<LegendEntry> entries{
      {Symbol::mark, MarkKind::sharp, "sharp, in cents"},
      {Symbol::mark, MarkKind::flat, "flat, in cents"},
      {Symbol::mark, MarkKind::in_tune, "in tune"},
      {Symbol::band, MarkKind::in_tune, fmt::format("within {:g} cents", result.settings.tolerance_cents)},
      {Symbol::whisker, MarkKind::in_tune, "how sure: one standard error"}};
  if (result.summary.other_note > 0) entries.push_back({Symbol::mark, MarkKind::other_note, "wrong note"});
  if (result.summary.unclear > 0) entries.push_back({Symbol::mark, MarkKind::unclear, "could not be judged"});
  if (result.summary.missing > 0) entries.push_back({Symbol::missing, MarkKind::unclear, "missing"});
  return entries;
}

std::string draw_cents_picture(const Result& result, const NoteSequence& notes) {
  const CentsLayout layout = cents_layout(result, notes);
  Svg svg;
  double y = draw_legend(svg, cents_legend(result), cents_left_px, 4) + 6;
  for (std::size_t begin = 0; begin < notes.size();) {
    const NoteRow row = row_from(notes, layout, begin);
    svg.page_break(y);
    y = draw_cents_row(svg, result, notes, layout, row, y) + row_gap_px;
    begin = row.end;
  }
  const std::string reference = reference_in_words(result);
  return svg.finish(width_px, y, "cents", "Each note: sharp or flat, against " + reference,
                    fmt::format("Each note in turn with its distance from {}, and one standard error either way. {}",
                                reference, notes_off_in_words(result)));
}

}  // namespace
}  // namespace firmus::picture

namespace firmus {

std::string cents_picture(const Result& result) {
  const report::ResultStatus status = report::result_status_of(result);
  using enum report::ResultStatus;
  if (result.error || status == not_this_melody || status == nothing_judged || status == no_melody) return {};
  const picture::NoteSequence notes = picture::notes_in_sequence(result);
  return notes.empty() ? std::string() : picture::draw_cents_picture(result, notes);
}

}  // namespace firmus
