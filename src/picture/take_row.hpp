// One row of the picture of a take.
#pragma once
#include "svg.hpp"
#include "take_layout.hpp"

namespace firmus::picture {

/// Draws the row with its upper edge at `top`; returns the y of its lower edge.
double draw_take_row(Svg& svg, const Result& result, const TakeLayout& layout, const Row& row, double top);

/// Vertical positions of the parts of a row in px, from top to bottom.
struct RowPlan {
  double bars = 0, errors = 0, names = 0;  ///< lanes of labels: baselines of their last lines
  double plot_top = 0, plot_bottom = 0;
  double words = 0;  ///< baseline of the first line
  double axis = 0;   ///< time axis
  double bottom = 0;
  PitchRange pitch_range;
  double px_per_semitone = 0;
  double y_of(double midi_pitch) const { return plot_bottom - (midi_pitch - pitch_range.low) * px_per_semitone; }
};

/// Draws the measured pitch: dark within the written notes, pale elsewhere.
void draw_pitch(Svg& svg, const Result& result, const TakeLayout& layout, const Row& row, const RowPlan& plan);

}  // namespace firmus::picture
