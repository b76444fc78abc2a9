// Colours, sizes and marks of all pictures. On white, text has a contrast of at least 4.5 to 1, lines that carry
// meaning of at least 3 to 1 (WCAG 2.1, 1.4.3 and 1.4.11). Marks differ in shape as well as in colour.
#pragma once
#include <string>
#include <string_view>

#include "firmus/result.hpp"
#include "svg.hpp"

namespace firmus::picture {

inline constexpr double width_px = 760;  ///< of every picture; printed on A4, 11 px are 7.5 points
inline constexpr double label_px = 11;
inline constexpr double small_px = 10;

inline constexpr std::string_view ink = "#1a1a1a", muted_ink = "#595f66", rule = "#d5d8dc", written_line = "#6b7178";
inline constexpr std::string_view sharp_line = "#b8500a", flat_line = "#1f5fbf", tune_line = "#6b7178";
inline constexpr std::string_view sharp_band = "#fbd9b8", flat_band = "#c6daf7", tune_band = "#e3e5e8";

/// What a mark says of a note or a group of notes.
enum class MarkKind { in_tune, sharp, flat, other_note, unclear };

/// By the verdict of a note; `unclear` without a verdict.
MarkKind mark_kind_of(const NoteResult& note);

std::string_view line_colour(MarkKind kind);
std::string_view band_colour(MarkKind kind);

/// A mark centred at x, y: a triangle up (sharp) or down (flat), a dot (in tune), a cross (another note), a ring
/// (unclear). `hollow` draws the outline only.
void add_mark(Svg& svg, double x, double y, double radius, MarkKind kind, bool hollow = false);

}  // namespace firmus::picture
