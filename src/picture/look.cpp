#include "look.hpp"

#include <fmt/format.h>

#include <cmath>

namespace firmus::picture {

Way way_of(const NoteResult& note) {
  if (!note.verdict) return Way::unclear;
  switch (*note.verdict) {
    case Verdict::in_tune:
      return Way::in_tune;
    case Verdict::sharp:
      return Way::sharp;
    case Verdict::flat:
      return Way::flat;
    case Verdict::other_note:
      return Way::other_note;
    case Verdict::unclear:
      return Way::unclear;
  }
  return Way::unclear;
}

Way way_of(double cents, double tolerance_cents) {
  if (std::fabs(cents) <= tolerance_cents) return Way::in_tune;
  return cents > 0 ? Way::sharp : Way::flat;
}

std::string_view line_colour(Way way) {
  switch (way) {
    case Way::sharp:
      return sharp_line;
    case Way::flat:
      return flat_line;
    case Way::other_note:
      return ink;
    case Way::in_tune:
    case Way::unclear:
      break;
  }
  return tune_line;
}

std::string_view band_colour(Way way) {
  switch (way) {
    case Way::sharp:
      return sharp_band;
    case Way::flat:
      return flat_band;
    case Way::in_tune:
    case Way::other_note:
    case Way::unclear:
      break;
  }
  return tune_band;
}

void add_mark(Svg& svg, double x, double y, double radius, Way way, bool hollow) {
  const std::string_view colour = line_colour(way), fill = hollow ? "#ffffff" : colour;
  const double r = radius;
  switch (way) {
    case Way::sharp:
      return svg.path(fmt::format("M{} {}h{}l{} {}z", px(x - r), px(y + 0.8 * r), px(2 * r), px(-r), px(-1.7 * r)),
                      fill, {colour, 1});
    case Way::flat:
      return svg.path(fmt::format("M{} {}h{}l{} {}z", px(x - r), px(y - 0.8 * r), px(2 * r), px(-r), px(1.7 * r)), fill,
                      {colour, 1});
    case Way::in_tune:
      return svg.circle(x, y, 0.8 * r, fill, {colour, 1});
    case Way::other_note:
      return svg.path(
          fmt::format("M{0} {1}l{2} {2}m{3} 0l{2} {3}", px(x - 0.8 * r), px(y - 0.8 * r), px(1.6 * r), px(-1.6 * r)),
          "none", {colour, 1.6});
    case Way::unclear:
      return svg.circle(x, y, 0.8 * r, "#ffffff", {colour, 1});
  }
}

}  // namespace firmus::picture
