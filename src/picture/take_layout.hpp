// Layout of the picture of a take: rows, px from seconds and semitones, and the labels of each row.
#pragma once
#include <string>
#include <vector>

#include "labels.hpp"
#include "line_breaks.hpp"
#include "placed_notes.hpp"

namespace firmus::picture {

inline constexpr double plot_left_px = 48, plot_right_px = 748;

/// Written notes that were not sung, at one time of the take.
struct Gap {
  double at_s = 0;
  std::vector<const NoteResult*> missing;
};

struct TakeLayout {
  std::vector<PlacedNote> notes;
  std::vector<Gap> gaps;
  std::vector<Row> rows;
  double px_per_s = 0;
  double px_per_semitone = 0;
};

TakeLayout take_layout(const Result& result);

/// Whether the row covers `time_s`; its end belongs to the next row.
bool contains_time(const Row& row, double time_s);
double x_of(const TakeLayout& layout, const Row& row, double time_s);

/// The part of a note that lies in the row; end before begin when there is none.
Row visible_part(const Row& row, const PlacedNote& note);

/// Labels of a row: names above the notes, words below them.
inline constexpr int max_label_lines = 2;
std::vector<Label> place_names(const TakeLayout& layout, const Row& row);
std::vector<Label> place_words(const TakeLayout& layout, const Row& row);

/// Lowest and highest written pitch of the row as MIDI note numbers, with a margin.
struct PitchRange {
  double low = 0, high = 0;
};
PitchRange pitch_range_in(const TakeLayout& layout, const Row& row);

}  // namespace firmus::picture
