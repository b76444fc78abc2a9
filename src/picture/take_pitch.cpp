#include <algorithm>
#include <cmath>

#include "base/frames.hpp"
#include "firmus/theory.hpp"
#include "pitch_path.hpp"
#include "take_row.hpp"
#include "theme.hpp"

namespace firmus::picture {
namespace {

constexpr double tolerance_px = 0.25;  ///< distance of the simplified line from the points
constexpr std::string_view pale = "#9aa0a6";

/// Consecutive voiced frames, all within written notes or all outside of them.
struct Stroke {
  bool in_written_note = false;
  std::vector<Point> points;
};

/// Whether a written note sounds at a time; times must not decrease from call to call.
class NoteCursor {
 public:
  explicit NoteCursor(const std::vector<PlacedNote>& notes) : notes_(notes) {}
  bool in_written_note(double time_s) {
    while (next_ < notes_.size() && notes_[next_].onset_s <= time_s) ++next_;
    return next_ > 0 && time_s <= notes_[next_ - 1].end_s && notes_[next_ - 1].midi_pitch.has_value();
  }

 private:
  const std::vector<PlacedNote>& notes_;
  std::size_t next_ = 0;
};

std::vector<Stroke> strokes_of(const Result& result, const TakeLayout& layout, const Row& row, const RowPlan& plan) {
  std::vector<Stroke> strokes;
  NoteCursor note(layout.notes);
  bool drawing = false;
  const auto frames = static_cast<double>(result.f0_track_hz.size());
  const auto first = static_cast<std::size_t>(std::clamp(std::ceil(row.from_s / frame_hop_s), 0.0, frames));
  for (std::size_t i = first; i < result.f0_track_hz.size() && time_of_frame(i) < row.to_s; ++i) {
    const double time_s = time_of_frame(i), hz = result.f0_track_hz[i];
    const bool in_written_note = note.in_written_note(time_s);
    const double midi_pitch =
        hz > 0 ? midi_from_hz(Hertz(hz)) - shift_at(layout.notes, time_s) : plan.pitch_range.low - 1;
    if (midi_pitch < plan.pitch_range.low || midi_pitch > plan.pitch_range.high) {
      drawing = false;
      continue;
    }
    const Point point{x_of(layout, row, time_s), plan.y_of(midi_pitch)};
    if (!drawing) {
      strokes.push_back({in_written_note, {}});
    } else if (strokes.back().in_written_note != in_written_note) {
      strokes.back().points.push_back(point);
      strokes.push_back({in_written_note, {}});
    }
    strokes.back().points.push_back(point);
    drawing = true;
  }
  return strokes;
}

}  // namespace

void draw_pitch(Svg& svg, const Result& result, const TakeLayout& layout, const Row& row, const RowPlan& plan) {
  std::string dark, light;
  for (const Stroke& stroke : strokes_of(result, layout, row, plan))
    (stroke.in_written_note ? dark : light) += path_data(simplified(stroke.points, tolerance_px));
  svg.path(light, "none", {pale, 1});
  svg.path(dark, "none", {ink, 1.5});
}

}  // namespace firmus::picture
