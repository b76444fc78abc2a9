// How the picture of a take is laid out: seconds and semitones to px, and what stands in which row.
#pragma once
#include <string>
#include <vector>

#include "labels.hpp"
#include "line_breaks.hpp"
#include "placed_notes.hpp"

namespace firmus::picture {

inline constexpr double plot_left_px = 48, plot_right_px = 748;

/// Written notes that were not sung, at one place in the take.
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

TakeLayout lay_out(const Result& result);

/// Whether `time_s` stands in the row (the last moment of a row belongs to the next one).
bool contains_time(const Row& row, double time_s);
double x_of(const TakeLayout& layout, const Row& row, double time_s);

/// The part of a note that the row shows; empty (end before begin) when none is.
Row visible_part(const Row& row, const PlacedNote& note);

/// Names above the notes and words below them, placed in their row.
inline constexpr int max_label_lines = 2;
std::vector<Label> place_names(const TakeLayout& layout, const Row& row);
std::vector<Label> place_words(const TakeLayout& layout, const Row& row);

/// Lowest and highest place of the row, in semitones, with a margin.
struct PitchRange {
  double low = 0, high = 0;
};
PitchRange pitch_range_in(const TakeLayout& layout, const Row& row);

}  // namespace firmus::picture
