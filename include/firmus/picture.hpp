// A Result as pictures: SVG 1.1, each a single <svg> element with a title and a description, readable in print and
// without colours. Sharp is orange and points up, flat is blue and points down, in tune is grey. Nothing is fetched and
// no style sheet is needed. The same result gives the same bytes.
#pragma once
#include <string>
#include <string_view>

#include "firmus/result.hpp"
#include "firmus/trend.hpp"

namespace firmus {

/// The take over time: the measured pitch over the written step line with its tolerance band, both against the
/// reference that the take is measured against, so that the line is straight where the take is in tune with it. Note
/// names above, words below, time in m:ss; long takes go on in rows. Without `f0_track_hz` the picture says why.
/// Each written note is a group with the id "note-INDEX" and, for whoever wants to sound it, `data-onset-s`,
/// `data-end-s`, `data-written-hz` (at concert pitch, in the octave sung) and `data-own-hz` (where the step line is).
std::string take_picture(const Result& result);

/// Cents off, note by note, with the tolerance band and one standard error either way. Empty when nothing was judged.
std::string cents_picture(const Result& result);

/// What keeps coming: groups of notes, how far each is off, with 95 % intervals. Empty when no group has an interval.
std::string tendency_picture(const Result& result);

/// Figures and habits of a student from take to take, each in a chart of its own. Empty where there are fewer than two
/// points.
std::string trend_picture(const StudentTrend& student);
/// Those of every student, one below the other.
std::string trend_picture(const Trend& trend);

/// As a file of its own.
std::string as_svg_file(std::string_view picture);

/// As part of an HTML page, where ids of several pictures must differ: each begins with `prefix`. A picture of several
/// rows becomes several elements, so that a printed page ends between two rows; the first one bears title and
/// description.
std::string as_inline_svg(std::string_view picture, std::string_view prefix);

}  // namespace firmus
