#include "take_layout.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/statistics.hpp"
#include "firmus/theory.hpp"
#include "note_words.hpp"
#include "text_width.hpp"
#include "theme.hpp"

namespace firmus::picture {
namespace {

constexpr std::array<double, 10> px_per_s_candidates{36, 44, 52, 60, 70, 80, 95, 110, 130, 150};
constexpr double max_px_per_s = 150;
constexpr double max_staggered_share = 0.08;  ///< share of labels on a second line that is still easy to read
constexpr double shrink = 0.97;               ///< factor between the row lengths tried by even_rows
constexpr double default_px_per_semitone = 18, min_px_per_semitone = 9;
constexpr double default_range_semitones = 15;  ///< a wider range is drawn at a smaller scale
constexpr double margin_semitones = 1.2, min_range_semitones = 7;
constexpr double shortest_extra_s = 0.12;  ///< a shorter extra note has no label
constexpr double labels_apart_px = 4;
constexpr double midi_of_c4 = 60;

double longest_row_s(double px_per_s) {
  return (plot_right_px - plot_left_px) / px_per_s;
}

std::vector<Label> labels_in(const TakeLayout& layout, const Row& row, std::string (*text_of)(const PlacedNote&)) {
  std::vector<Label> labels;
  for (std::size_t i = 0; i < layout.notes.size(); ++i) {
    const PlacedNote& note = layout.notes[i];
    if (!contains_time(row, note.onset_s)) continue;
    std::string text = text_of(note);
    if (text.empty()) continue;
    const Row part = visible_part(row, note);
    labels.push_back({(x_of(layout, row, part.from_s) + x_of(layout, row, part.to_s)) / 2, text_width(text, label_px),
                      std::move(text), 0, -1, static_cast<int>(i)});
  }
  return labels;
}

std::string name_text(const PlacedNote& note) {
  if (note.midi_pitch) return name_of(*note.note);
  if (note.note->status != NoteStatus::extra || note.end_s - note.onset_s < shortest_extra_s) return {};
  return note.note->sung ? "(" + *note.note->sung + ")" : "";
}

std::string word_text(const PlacedNote& note) {
  return note.midi_pitch ? note.note->word.value_or("") : "";
}

struct Crowding {
  int labels = 0, staggered = 0, left_out = 0;
  bool is_easy() const { return left_out == 0 && staggered <= max_staggered_share * labels; }
};

Crowding crowding_of(const TakeLayout& layout) {
  Crowding crowding;
  for (const Row& row : layout.rows)
    for (const auto& labels : {place_names(layout, row), place_words(layout, row)})
      for (const Label& label : labels) {
        ++crowding.labels;
        crowding.staggered += label.line > 0 ? 1 : 0;
        crowding.left_out += label.line < 0 ? 1 : 0;
      }
  return crowding;
}

/// The narrowest scale whose labels are easy to read; else the narrowest that leaves no label out; else the widest.
double choose_px_per_s(TakeLayout layout, double take_s) {
  std::optional<double> complete;
  for (const double px_per_s : px_per_s_candidates) {
    layout.px_per_s = px_per_s;
    layout.rows = break_into_rows(layout.notes, take_s, longest_row_s(px_per_s));
    const Crowding crowding = crowding_of(layout);
    if (crowding.is_easy()) return px_per_s;
    if (crowding.left_out == 0 && !complete) complete = px_per_s;
  }
  return complete.value_or(px_per_s_candidates.back());
}

/// As few rows as the notes need, of nearly equal length.
std::vector<Row> even_rows(const TakeLayout& layout, double take_s, double longest_s) {
  std::vector<Row> rows = break_into_rows(layout.notes, take_s, longest_s);
  for (double shorter_s = longest_s * shrink; shorter_s > longest_s / 2; shorter_s *= shrink) {
    std::vector<Row> narrower = break_into_rows(layout.notes, take_s, shorter_s);
    if (narrower.size() > rows.size()) break;
    rows = std::move(narrower);
  }
  return rows;
}

void choose_rows(TakeLayout& layout, double take_s) {
  layout.rows = even_rows(layout, take_s, longest_row_s(choose_px_per_s(layout, take_s)));
  double longest = 0;
  for (const Row& row : layout.rows) longest = std::max(longest, row.to_s - row.from_s);
  if (longest > 0) layout.px_per_s = std::min((plot_right_px - plot_left_px) / longest, max_px_per_s);
}

void choose_vertical_scale(TakeLayout& layout) {
  double range = 0;
  for (const Row& row : layout.rows) {
    const PitchRange pitch_range = pitch_range_in(layout, row);
    range = std::max(range, pitch_range.high - pitch_range.low);
  }
  layout.px_per_semitone =
      range <= default_range_semitones
          ? default_px_per_semitone
          : std::max(min_px_per_semitone, default_px_per_semitone * default_range_semitones / range);
}

/// Missing notes are drawn halfway between the sung notes around them; those before the first sung note at its onset,
/// those after the last at its end.
std::vector<Gap> find_gaps(const Result& result) {
  std::vector<Gap> gaps;
  std::optional<double> at_s;
  std::vector<const NoteResult*> missing;
  const auto close = [&](double fallback_s) {
    if (!missing.empty()) gaps.push_back({at_s.value_or(fallback_s), missing});
    missing.clear();
  };
  for (const NoteResult& note : result.notes) {
    if (note.status == NoteStatus::missing) missing.push_back(&note);
    if (note.status != NoteStatus::sung || !note.onset_s || !note.end_s) continue;
    if (at_s) at_s = (*at_s + std::max(*at_s, *note.onset_s)) / 2;
    close(*note.onset_s);
    at_s = note.end_s;
  }
  if (at_s) close(*at_s);
  return gaps;
}

}  // namespace

TakeLayout take_layout(const Result& result) {
  TakeLayout layout;
  layout.notes = place_notes(result);
  layout.gaps = find_gaps(result);
  choose_rows(layout, result.take.duration_s.value_or(0));
  choose_vertical_scale(layout);
  return layout;
}

bool contains_time(const Row& row, double time_s) {
  return time_s >= row.from_s && time_s < row.to_s;
}

double x_of(const TakeLayout& layout, const Row& row, double time_s) {
  return plot_left_px + (time_s - row.from_s) * layout.px_per_s;
}

Row visible_part(const Row& row, const PlacedNote& note) {
  return {std::max(row.from_s, note.onset_s), std::min(row.to_s, note.end_s)};
}

std::vector<Label> place_names(const TakeLayout& layout, const Row& row) {
  std::vector<Label> labels = labels_in(layout, row, name_text);
  place_labels(labels, plot_left_px, plot_right_px, max_label_lines, labels_apart_px);
  return labels;
}

std::vector<Label> place_words(const TakeLayout& layout, const Row& row) {
  std::vector<Label> labels = labels_in(layout, row, word_text);
  place_labels(labels, plot_left_px, plot_right_px, max_label_lines, labels_apart_px);
  return labels;
}

PitchRange pitch_range_in(const TakeLayout& layout, const Row& row) {
  std::optional<PitchRange> range;
  const auto add = [&](double midi_pitch) {
    if (!range) range = PitchRange{midi_pitch, midi_pitch};
    range = PitchRange{std::min(range->low, midi_pitch), std::max(range->high, midi_pitch)};
  };
  std::vector<double> sung;
  for (const PlacedNote& note : layout.notes) {
    const Row part = visible_part(row, note);
    if (part.to_s <= part.from_s) continue;
    if (note.midi_pitch) add(*note.midi_pitch);
    if (note.note->sung_hz) sung.push_back(midi_from_hz(Hertz(*note.note->sung_hz)) - note.shift_semitones);
  }
  if (!range && !sung.empty()) add(median(sung));
  if (!range) add(midi_of_c4);
  const double margin = std::max(margin_semitones, (min_range_semitones - (range->high - range->low)) / 2);
  return {range->low - margin, range->high + margin};
}

}  // namespace firmus::picture
