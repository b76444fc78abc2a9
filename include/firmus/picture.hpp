// Pictures of results, as SVG 1.1: each is a single <svg> element with a title and a description, readable in print and
// without colours. Sharp is orange and points up, flat is blue and points down, in tune is grey. A picture needs
// neither a stylesheet nor any other file. The same result gives the same bytes.
#pragma once
#include <string>
#include <string_view>

#include "firmus/result.hpp"
#include "firmus/trend.hpp"

namespace firmus {

/// The take over time: the measured pitch over the written notes, drawn as steps with their tolerance band. The steps
/// are moved to the reference that errors are measured against, so that the pitch of a take in tune lies on them. Note
/// names are above the notes, words below, times as m:ss; long takes are broken into rows. Needs
/// `Result::f0_track_hz`; without it, and for a take that was not measured, the picture is a message that says so.
/// Each written note is a group with the id "note-INDEX" and these data attributes, for a script that plays the note:
/// `data-onset-s`, `data-end-s`, `data-written-hz` (at concert pitch, in the octave sung) and `data-own-hz` (the pitch
/// of the drawn step).
std::string take_picture(const Result& result);

/// The error of each note in cents, with the tolerance band and one standard error either way. Empty when no note was
/// judged.
std::string cents_picture(const Result& result);

/// Habits: the mean error of groups of notes with its 95 % interval. Empty when no group has an interval.
std::string tendency_picture(const Result& result);

/// Quantities and habits of a student from take to take, each in a chart of its own. Empty with fewer than two points.
std::string trend_picture(const StudentTrend& student);
/// The charts of every student, one student below the other.
std::string trend_picture(const Trend& trend);

/// A picture as the text of an SVG file.
std::string as_svg_file(std::string_view svg);

/// A picture as part of an HTML page. All its ids begin with `prefix`, so that the ids of several pictures differ. A
/// picture of several rows becomes several <svg> elements, so that a printed page ends between two rows; the first
/// element has the title and the description.
std::string as_inline_svg(std::string_view svg, std::string_view prefix);

}  // namespace firmus
