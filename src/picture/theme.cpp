#include "theme.hpp"

#include <fmt/format.h>

namespace firmus::picture {

MarkKind mark_kind_of(const NoteResult& note) {
  if (!note.verdict) return MarkKind::unclear;
  switch (*note.verdict) {
    case Verdict::in_tune:
      return MarkKind::in_tune;
    case Verdict::sharp:
      return MarkKind::sharp;
    case Verdict::flat:
      return MarkKind::flat;
    case Verdict::other_note:
      return MarkKind::other_note;
    case Verdict::unclear:
      return MarkKind::unclear;
  }
  return MarkKind::unclear;
}

std::string_view line_colour(MarkKind kind) {
  switch (kind) {
    case MarkKind::sharp:
      return sharp_line;
    case MarkKind::flat:
      return flat_line;
    case MarkKind::other_note:
      return ink;
    case MarkKind::in_tune:
    case MarkKind::unclear:
      break;
  }
  return tune_line;
}

std::string_view band_colour(MarkKind kind) {
  switch (kind) {
    case MarkKind::sharp:
      return sharp_band;
    case MarkKind::flat:
      return flat_band;
    case MarkKind::in_tune:
    case MarkKind::other_note:
    case MarkKind::unclear:
      break;
  }
  return tune_band;
}

void add_mark(Svg& svg, double x, double y, double radius, MarkKind kind, bool hollow) {
  const std::string_view colour = line_colour(kind), fill = hollow ? "#ffffff" : colour;
  const double r = radius;
  switch (kind) {
    case MarkKind::sharp:
      return svg.path(fmt::format("M{} {}h{}l{} {}z", px(x - r), px(y + 0.8 * r), px(2 * r), px(-r), px(-1.7 * r)),
                      fill, {colour, 1});
    case MarkKind::flat:
      return svg.path(fmt::format("M{} {}h{}l{} {}z", px(x - r), px(y - 0.8 * r), px(2 * r), px(-r), px(1.7 * r)), fill,
                      {colour, 1});
    case MarkKind::in_tune:
      return svg.circle(x, y, 0.8 * r, fill, {colour, 1});
    case MarkKind::other_note:
      return svg.path(
          fmt::format("M{0} {1}l{2} {2}m{3} 0l{2} {3}", px(x - 0.8 * r), px(y - 0.8 * r), px(1.6 * r), px(-1.6 * r)),
          "none", {colour, 1.6});
    case MarkKind::unclear:
      return svg.circle(x, y, 0.8 * r, "#ffffff", {colour, 1});
  }
}

}  // namespace firmus::picture
