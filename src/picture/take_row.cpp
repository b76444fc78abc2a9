#include "take_row.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "note_words.hpp"
#include "report/words.hpp"
#include "text_width.hpp"
#include "theme.hpp"

namespace firmus::picture {
namespace {

constexpr double row_line_px = 13;        ///< distance of two lines of labels
constexpr double joined_s = 0.08;         ///< a step line continues over a shorter gap
constexpr double min_axis_label_px = 12;  ///< vertical distance of two names on the axis
constexpr double min_tick_px = 44;
constexpr double row_mark_px = 4;
constexpr TextStyle small{small_px, muted_ink, Anchor::start};

struct LabelLanes {
  std::vector<Label> bars, errors, names, words;
};

std::string error_text(const Result& result, const NoteResult& note) {
  const auto error = report::error_of(result, note);
  if (!error || note.verdict == Verdict::in_tune || !report::is_judged(note)) return {};
  return fmt::format("{:.0f}", std::fabs(*error));
}

std::vector<Label> error_labels(const Result& result, const TakeLayout& layout, const Row& row) {
  std::vector<Label> labels;
  for (std::size_t i = 0; i < layout.notes.size(); ++i) {
    const PlacedNote& note = layout.notes[i];
    if (!note.midi_pitch || !contains_time(row, note.onset_s)) continue;
    std::string text = error_text(result, *note.note);
    if (text.empty()) continue;
    const Row part = visible_part(row, note);
    labels.push_back({(x_of(layout, row, part.from_s) + x_of(layout, row, part.to_s)) / 2,
                      text_width(text, small_px, true) + 2 * row_mark_px + 3, std::move(text), 0, -1,
                      static_cast<int>(i)});
  }
  place_labels(labels, plot_left_px, plot_right_px, max_label_lines, 4);
  return labels;
}

bool starts_bar(const TakeLayout& layout, std::size_t i) {
  const PlacedNote& note = layout.notes[i];
  if (!note.midi_pitch || !note.note->bar) return false;
  for (std::size_t before = i; before-- > 0;)
    if (layout.notes[before].midi_pitch)
      return note.note->bar != layout.notes[before].note->bar ||
             note.note->section != layout.notes[before].note->section ||
             note.note->pass != layout.notes[before].note->pass;
  return true;
}

/// Labels of bars and of earlier attempts share the topmost lane.
std::vector<Label> top_labels(const Result& result, const TakeLayout& layout, const Row& row) {
  std::vector<Label> labels;
  const auto add = [&](double from_s, std::string text) {
    const double width = text_width(text, small_px);
    labels.push_back({x_of(layout, row, from_s) + width / 2, width, std::move(text)});
  };
  for (std::size_t i = 0; i < layout.notes.size(); ++i) {
    if (!starts_bar(layout, i) || !contains_time(row, layout.notes[i].onset_s)) continue;
    NoteResult bar = *layout.notes[i].note;
    bar.beat.reset();
    add(layout.notes[i].onset_s, report::place_of(result, bar));
  }
  for (const Attempt& attempt : result.attempts)
    if (!attempt.counts && attempt.from_s < row.to_s && attempt.to_s > row.from_s)
      add(std::max(attempt.from_s, row.from_s), "an earlier try, not counted");
  std::stable_sort(labels.begin(), labels.end(), [](const Label& a, const Label& b) { return a.centre < b.centre; });
  place_labels(labels, plot_left_px, plot_right_px, 1, 6);
  return labels;
}

LabelLanes lanes_of(const Result& result, const TakeLayout& layout, const Row& row) {
  return {top_labels(result, layout, row), error_labels(result, layout, row), place_names(layout, row),
          place_words(layout, row)};
}

RowPlan plan_row(const TakeLayout& layout, const Row& row, const LabelLanes& lanes, double top) {
  RowPlan plan;
  plan.pitch_range = pitch_range_in(layout, row);
  plan.px_per_semitone = layout.px_per_semitone;
  plan.bars = top + row_line_px * lines_used(lanes.bars);
  plan.errors = plan.bars + row_line_px * lines_used(lanes.errors);
  plan.names = plan.errors + row_line_px * lines_used(lanes.names);
  plan.plot_top = plan.names + 5;
  plan.plot_bottom = plan.plot_top + (plan.pitch_range.high - plan.pitch_range.low) * layout.px_per_semitone;
  plan.words = plan.plot_bottom + row_line_px;
  plan.axis = plan.plot_bottom + row_line_px * lines_used(lanes.words) + 6;
  plan.bottom = plan.axis + 16;
  return plan;
}

void draw_axis_names(Svg& svg, const TakeLayout& layout, const Row& row, const RowPlan& plan) {
  std::vector<std::pair<double, std::string>> rungs;
  for (const PlacedNote& note : layout.notes) {
    const Row part = visible_part(row, note);
    if (note.midi_pitch && part.to_s > part.from_s) rungs.emplace_back(*note.midi_pitch, name_of(*note.note));
  }
  std::stable_sort(rungs.begin(), rungs.end());
  const double right = x_of(layout, row, row.to_s);
  double last_y = plan.plot_bottom + min_axis_label_px;
  for (const auto& [midi_pitch, name] : rungs) {
    const double y = plan.y_of(midi_pitch);
    if (last_y - y < min_axis_label_px) continue;
    svg.line(plot_left_px, y, right, y, {rule, 0.6});
    svg.text(plot_left_px - 6, y + 3.5, name, {small_px, muted_ink, Anchor::end});
    last_y = y;
  }
}

double tick_step_s(double px_per_s) {
  for (const double step_s : {1.0, 2.0, 5.0, 10.0, 30.0})
    if (step_s * px_per_s >= min_tick_px) return step_s;
  return 60;
}

void draw_time(Svg& svg, const TakeLayout& layout, const Row& row, const RowPlan& plan) {
  svg.line(plot_left_px, plan.axis, x_of(layout, row, row.to_s), plan.axis, {muted_ink, 0.8});
  const double step_s = tick_step_s(layout.px_per_s);
  for (double time_s = std::ceil(row.from_s / step_s) * step_s; time_s <= row.to_s; time_s += step_s) {
    const double x = x_of(layout, row, time_s);
    svg.line(x, plan.axis, x, plan.axis + 3, {muted_ink, 0.8});
    const std::string text = report::clock_length(time_s);
    const double half = text_width(text, small_px) / 2;
    svg.text(std::min(x, width_px - half), plan.axis + 12, text, {small_px, muted_ink, Anchor::middle});
  }
}

std::string data_of(const PlacedNote& note) {
  std::string data = fmt::format(" data-onset-s=\"{:.3f}\" data-end-s=\"{:.3f}\"", note.onset_s, note.end_s);
  if (const auto hz = concert_hz(*note.note)) data += fmt::format(" data-written-hz=\"{:.3f}\"", *hz);
  if (const auto hz = own_hz(note)) data += fmt::format(" data-own-hz=\"{:.3f}\"", *hz);
  return data;
}

void draw_take_note(Svg& svg, const Result& result, const TakeLayout& layout, const Row& row, const RowPlan& plan,
                    const PlacedNote& note) {
  const Row part = visible_part(row, note);
  const double from = x_of(layout, row, part.from_s), to = x_of(layout, row, part.to_s),
               y = plan.y_of(*note.midi_pitch);
  const double half = std::min(result.settings.tolerance_cents.value() / 100 * plan.px_per_semitone,
                               (plan.plot_bottom - plan.plot_top) / 2);
  const bool first_part = part.from_s == note.onset_s && note.note->index;
  svg.begin_group((first_part ? fmt::format(" id=\"note-{}\"", *note.note->index) : "") + data_of(note));
  svg.tooltip(note_in_words(result, *note.note));
  if (result.melody)
    svg.rect(from, y - half, std::max(to - from, 1.0), 2 * half, band_colour(mark_kind_of(*note.note)));
  svg.line(from, y, std::max(to, from + 1), y, {written_line, 1});
  svg.end_group();
}

void draw_take_notes(Svg& svg, const Result& result, const TakeLayout& layout, const Row& row, const RowPlan& plan) {
  const PlacedNote* before = nullptr;
  for (const PlacedNote& note : layout.notes) {
    const Row part = visible_part(row, note);
    if (!note.midi_pitch || part.to_s <= part.from_s) continue;
    draw_take_note(svg, result, layout, row, plan, note);
    if (before && note.onset_s - before->end_s < joined_s) {
      const double x = x_of(layout, row, part.from_s);
      svg.line(x, plan.y_of(*before->midi_pitch), x, plan.y_of(*note.midi_pitch), {written_line, 0.6});
    }
    before = &note;
  }
}

void draw_gaps(Svg& svg, const TakeLayout& layout, const Row& row, const RowPlan& plan) {
  const bool last = &row == &layout.rows.back();
  for (const Gap& gap : layout.gaps) {
    if (!contains_time(row, gap.at_s) && !(last && gap.at_s >= row.to_s)) continue;
    const double x = std::min(x_of(layout, row, gap.at_s), plot_right_px);
    svg.line(x, plan.plot_top, x, plan.plot_bottom, {ink, 1, "2 3"});
    const std::string text = fmt::format("{} missing", gap.missing.size());
    const double width = text_width(text, small_px);
    const bool fits = x + 4 + width <= plot_right_px;
    svg.text(fits ? x + 4 : x - 4, plan.plot_top + small_px, text,
             {small_px, ink, fits ? Anchor::start : Anchor::end, false, true});
  }
}

void draw_labels(Svg& svg, const std::vector<Label>& labels, double y, double per_line, const TextStyle& style) {
  for (const Label& label : labels)
    if (label.line >= 0) svg.text(label.x, y + per_line * label.line, label.text, style);
}

void draw_errors(Svg& svg, const TakeLayout& layout, const std::vector<Label>& labels, double y) {
  for (const Label& label : labels) {
    if (label.line < 0) continue;
    const MarkKind kind = mark_kind_of(*layout.notes[static_cast<std::size_t>(label.owner)].note);
    const double base = y - row_line_px * label.line;
    add_mark(svg, label.x + row_mark_px, base - 3.5, row_mark_px, kind);
    svg.text(label.x + 2 * row_mark_px + 3, base, label.text, {small_px, line_colour(kind), Anchor::start, true});
  }
}

}  // namespace

double draw_take_row(Svg& svg, const Result& result, const TakeLayout& layout, const Row& row, double top) {
  const LabelLanes lanes = lanes_of(result, layout, row);
  const RowPlan plan = plan_row(layout, row, lanes, top);
  draw_axis_names(svg, layout, row, plan);
  draw_take_notes(svg, result, layout, row, plan);
  draw_pitch(svg, result, layout, row, plan);
  draw_gaps(svg, layout, row, plan);
  draw_labels(svg, lanes.bars, plan.bars, 0, small);
  draw_errors(svg, layout, lanes.errors, plan.errors);
  draw_labels(svg, lanes.names, plan.names, -row_line_px, {label_px, ink, Anchor::start, true});
  draw_labels(svg, lanes.words, plan.words, row_line_px, {label_px, ink, Anchor::start});
  draw_time(svg, layout, row, plan);
  return plan.bottom;
}

}  // namespace firmus::picture
