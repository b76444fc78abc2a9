// How results look: colours and marks, one place for all pictures. On white, text colours have a contrast of 4.5 and
// more to 1, lines that mean something of 3 and more (WCAG 2.1); marks tell the same by their shape.
#pragma once
#include <string>
#include <string_view>

#include "firmus/result.hpp"
#include "svg.hpp"

namespace firmus::picture {

inline constexpr double width_px = 760;  ///< of every picture: 11 px are 7.5 points on a page of A4
inline constexpr double label_px = 11;
inline constexpr double small_px = 10;

inline constexpr std::string_view ink = "#1a1a1a", muted_ink = "#595f66", rule = "#d5d8dc", written_line = "#6b7178";
inline constexpr std::string_view sharp_line = "#b8500a", flat_line = "#1f5fbf", tune_line = "#6b7178";
inline constexpr std::string_view sharp_band = "#fbd9b8", flat_band = "#c6daf7", tune_band = "#e3e5e8";

enum class MarkKind { in_tune, sharp, flat, other_note, unclear };

/// Where a note stands: its verdict, or unclear where none is due.
MarkKind mark_kind_of(const NoteResult& note);
/// In tune within the tolerance, without a verdict.
MarkKind mark_kind_of(double cents, double tolerance_cents);

std::string_view line_colour(MarkKind kind);
std::string_view band_colour(MarkKind kind);

/// A mark centred at x, y: a triangle up (sharp) or down (flat), a dot (in tune), a cross (another note), a ring
/// (unclear). `hollow`: outlined only.
void add_mark(Svg& svg, double x, double y, double radius, MarkKind kind, bool hollow = false);

}  // namespace firmus::picture
