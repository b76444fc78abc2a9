// Layout of the picture of cents off, note by note: which notes are drawn, how they are broken into rows, and px from
// cents and positions.
#pragma once
#include <cstddef>
#include <vector>

#include "firmus/result.hpp"
#include "labels.hpp"

namespace firmus::picture {

inline constexpr double cents_left_px = 48, cents_right_px = 748;

/// Notes in the order of the melody, or of the take where there is no melody. They point into the result.
using NoteSequence = std::vector<const NoteResult*>;

/// The written notes of a take; without a melody all notes that were detected.
NoteSequence notes_in_sequence(const Result& result);

/// Notes from `begin` up to but without `end`.
struct NoteRow {
  std::size_t begin = 0, end = 0;
};

struct CentsLayout {
  std::size_t notes_per_row = 0;  ///< at most
  double slot_px = 0;             ///< width for one note
  double edge_cents = 0;          ///< the scale reaches from -edge_cents to +edge_cents
  /// y of an error in a row whose 0 is at `zero_y`; clamped to the scale.
  double y_of(double zero_y, double cents) const;
  /// x of the middle of a note, by its position in its row.
  double x_of(std::size_t position) const { return cents_left_px + (static_cast<double>(position) + 0.5) * slot_px; }
};

inline constexpr double half_height_px = 60;  ///< from 0 cents to the edge of the scale
inline constexpr double grid_cents = 25, max_edge_cents = 100;

/// As few rows as the notes need, of nearly equal length. `notes` not empty.
CentsLayout cents_layout(const Result& result, const NoteSequence& notes);

/// The row that begins with note `begin`. It ends before a bar line where there is one in its last part.
NoteRow row_from(const NoteSequence& notes, const CentsLayout& layout, std::size_t begin);

/// Labels of the bars that begin in the row, above it; Label::owner is the position in the row.
std::vector<Label> bar_labels(const Result& result, const NoteSequence& notes, const CentsLayout& layout,
                              const NoteRow& row);
/// Names of the notes, below the row.
std::vector<Label> name_labels(const NoteSequence& notes, const CentsLayout& layout, const NoteRow& row);

}  // namespace firmus::picture
