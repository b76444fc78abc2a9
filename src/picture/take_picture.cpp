#include <fmt/format.h>

#include "firmus/picture.hpp"
#include "legend.hpp"
#include "note_words.hpp"
#include "report/words.hpp"
#include "take_row.hpp"
#include "text_width.hpp"

namespace firmus::picture {
namespace {

constexpr double between_rows_px = 12;

std::string step_line_in_words(const Result& result) {
  if (!result.melody) return "nearest notes, in your key";
  return result.settings.reference == Reference::concert ? "written notes, at concert pitch"
                                                         : "written notes, in your key";
}

std::vector<LegendEntry> take_legend(const Result& result) {
  using Symbol = LegendEntry::Symbol;
  std::vector<LegendEntry> entries{{Symbol::pitch, MarkKind::in_tune, "sung"}};
  if (report::result_status_of(result) == report::ResultStatus::not_this_melody) return entries;
  entries.push_back({Symbol::step, MarkKind::in_tune, step_line_in_words(result)});
  if (!result.melody) return entries;  // nothing is judged
  entries.push_back(
      {Symbol::band, MarkKind::in_tune, fmt::format("within {:g} cents", result.settings.tolerance_cents)});
  entries.push_back({Symbol::mark, MarkKind::sharp, "sharp (number = cents)"});
  entries.push_back({Symbol::mark, MarkKind::flat, "flat"});
  if (result.summary.other_note > 0) entries.push_back({Symbol::mark, MarkKind::other_note, "wrong note"});
  return entries;
}

std::string take_title(const Result& result) {
  const std::string melody = result.melody ? result.melody->title : "";
  return melody.empty() ? "Pitch over time" : "Pitch over time: " + melody;
}

std::string take_description(const Result& result, const TakeLayout& layout) {
  const std::string span =
      fmt::format("The sung pitch from {} to {}, as a line", report::clock_length(layout.rows.front().from_s),
                  report::clock_length(layout.rows.back().to_s));
  if (report::result_status_of(result) == report::ResultStatus::not_this_melody)
    return span + ". It is not the written melody, so the written notes are not drawn.";
  if (!result.melody) return span + " over the nearest notes, drawn as steps. None is judged.";
  return fmt::format("{} over {}, drawn as steps with a band of {:g} cents either way. {}", span, "the written melody",
                     result.settings.tolerance_cents, notes_off_in_words(result));
}

/// A picture that holds a message alone: every take has a picture.
std::string message_picture(const std::string& words) {
  constexpr double message_left_px = 12, message_line_px = 16;
  Svg svg;
  double y = message_line_px + 4;
  for (const std::string& line : lines_within(words, width_px - 2 * message_left_px, label_px)) {
    svg.text(message_left_px, y, line, {label_px, ink, Anchor::start});
    y += message_line_px;
  }
  return svg.finish(width_px, y, "take", "Pitch over time", words);
}

std::string draw_take_picture(const Result& result) {
  const TakeLayout layout = take_layout(result);
  if (layout.rows.empty()) return message_picture("No note was found in this recording.");
  Svg svg;
  double y = draw_legend(svg, take_legend(result), plot_left_px, 4) + between_rows_px;
  for (const Row& row : layout.rows) {
    svg.page_break(y);
    y = draw_take_row(svg, result, layout, row, y) + between_rows_px;
  }
  return svg.finish(width_px, y, "take", take_title(result), take_description(result, layout));
}

}  // namespace
}  // namespace firmus::picture

namespace firmus {

std::string take_picture(const Result& result) {
  if (result.error) return picture::message_picture("Not measured: " + result.error->detail);
  if (result.f0_track_hz.empty())
    return picture::message_picture("The pitch line of this recording was not kept; check it again.");
  return picture::draw_take_picture(result);
}

}  // namespace firmus
