#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "firmus/picture.hpp"
#include "legend.hpp"
#include "report/words.hpp"
#include "text_width.hpp"

namespace firmus::picture {
namespace {

constexpr double label_right_px = 284, tendency_left_px = 300, tendency_right_px = 740;
constexpr double tendency_row_px = 21, tendency_mark_px = 4, tendency_cap_px = 4;
constexpr double tendency_grid_cents = 10, min_edge_cents = 30, max_tendency_edge_cents = 150;
constexpr double label_font_px = 1.1 * label_px;  ///< for the width of a label in bold
constexpr std::size_t max_rows = 16;

std::vector<const HabitRow*> rows_with_interval(const Result& result) {
  std::vector<const HabitRow*> rows;
  for (const HabitRow& habit : result.habits)
    if (habit.ci95_cents) rows.push_back(&habit);
  rows.resize(std::min(rows.size(), max_rows));
  return rows;
}

double tendency_edge(const std::vector<const HabitRow*>& rows) {
  double furthest = min_edge_cents;
  for (const HabitRow* row : rows)
    furthest = std::max({furthest, std::fabs(row->ci95_cents->first), std::fabs(row->ci95_cents->second)});
  return std::min(max_tendency_edge_cents, tendency_grid_cents * std::ceil(furthest / tendency_grid_cents));
}

double tendency_x(double cents, double edge_cents) {
  return tendency_left_px +
         (std::clamp(cents / edge_cents, -1.0, 1.0) + 1) / 2 * (tendency_right_px - tendency_left_px);
}

MarkKind mark_kind_of_row(const HabitRow& row) {
  if (!row.decision || row.decision == HabitDecision::within_tolerance) return MarkKind::in_tune;
  return row.mean_cents < 0 ? MarkKind::flat : MarkKind::sharp;
}

std::string tendency_label(const HabitRow& row) {
  return fmt::format("{} ({} of {})", report::group_in_words(row), row.same_way, row.count);
}

/// "27 cents flat, between -33 and -20"
std::string interval_in_words(const HabitRow& row) {
  return fmt::format("{}, between {} and {}", report::cents_off(row.mean_cents),
                     report::signed_cents(row.ci95_cents->first), report::signed_cents(row.ci95_cents->second));
}

double tendency_step(double edge_cents) {
  return edge_cents > 8 * tendency_grid_cents   ? 5 * tendency_grid_cents
         : edge_cents > 4 * tendency_grid_cents ? 2 * tendency_grid_cents
                                                : tendency_grid_cents;
}

void draw_tendency_grid(Svg& svg, double edge_cents, double top, double bottom) {
  const double step_cents = tendency_step(edge_cents);
  for (double cents = -step_cents * std::floor(edge_cents / step_cents); cents <= edge_cents; cents += step_cents) {
    const double x = tendency_x(cents, edge_cents);
    svg.line(x, top, x, bottom, {cents == 0 ? muted_ink : rule, cents == 0 ? 0.8 : 0.6});
    svg.text(x, bottom + 12, cents == 0 ? "0" : fmt::format("{:+.0f}", cents), {small_px, muted_ink, Anchor::middle});
  }
  svg.text(tendency_left_px, bottom + 26, "flat, in cents", {small_px, flat_line, Anchor::start});
  svg.text(tendency_right_px, bottom + 26, "sharp, in cents", {small_px, sharp_line, Anchor::end});
}

void draw_habit(Svg& svg, const HabitRow& row, double edge_cents, double y) {
  const MarkKind kind = mark_kind_of_row(row);
  const bool chronic = row.decision == HabitDecision::chronic;
  const double low = tendency_x(row.ci95_cents->first, edge_cents),
               high = tendency_x(row.ci95_cents->second, edge_cents);
  svg.begin_group("");
  svg.tooltip(tendency_label(row) + ": " + interval_in_words(row));
  svg.text(label_right_px, y + 4, cut_to(tendency_label(row), label_right_px - 8, label_font_px),
           {label_px, row.decision ? ink : muted_ink, Anchor::end, chronic});
  svg.line(low, y, high, y, {line_colour(kind), chronic ? 2.0 : 1.0});
  for (const double end : {low, high})
    svg.line(end, y - tendency_cap_px, end, y + tendency_cap_px, {line_colour(kind), 1});
  add_mark(svg, tendency_x(row.mean_cents, edge_cents), y, tendency_mark_px, kind, !chronic);
  svg.end_group();
}

std::string tendency_description(const std::vector<const HabitRow*>& rows) {
  std::vector<std::string> phrases;
  for (const HabitRow* row : rows)
    phrases.push_back((row->decision == HabitDecision::chronic   ? "recurring, "
                       : row->decision == HabitDecision::leaning ? "possible, "
                                                                 : "") +
                      report::group_in_words(*row) + ": " + interval_in_words(*row));
  return fmt::format("Groups of notes, each with its average error and its 95 % interval, in cents. {}.",
                     fmt::join(phrases, "; "));
}

std::vector<LegendEntry> tendency_legend(const std::vector<const HabitRow*>& rows) {
  using Symbol = LegendEntry::Symbol;
  const auto any = [&](std::optional<HabitDecision> decision) {
    return std::any_of(rows.begin(), rows.end(), [&](const HabitRow* row) { return row->decision == decision; });
  };
  std::vector<LegendEntry> entries;
  const auto add = [&](Symbol symbol, const HabitDecision decision, const char* words) {
    const auto row = std::find_if(rows.begin(), rows.end(), [&](const HabitRow* r) { return r->decision == decision; });
    if (row != rows.end()) entries.push_back({symbol, mark_kind_of_row(**row), words});
  };
  add(Symbol::mark, HabitDecision::chronic, "recurring");
  add(Symbol::hollow_mark, HabitDecision::leaning, "possible");
  if (any(std::nullopt) || any(HabitDecision::within_tolerance))
    entries.push_back({Symbol::hollow_mark, MarkKind::in_tune, "not recurring"});
  entries.push_back({Symbol::interval, MarkKind::in_tune, "95 % interval"});
  return entries;
}

std::string draw_tendency_picture(const std::vector<const HabitRow*>& rows) {
  Svg svg;
  const double edge_cents = tendency_edge(rows);
  const double top = draw_legend(svg, tendency_legend(rows), 12, 4) + 6;
  const double bottom = top + tendency_row_px * static_cast<double>(rows.size());
  draw_tendency_grid(svg, edge_cents, top, bottom);
  for (std::size_t i = 0; i < rows.size(); ++i)
    draw_habit(svg, *rows[i], edge_cents, top + tendency_row_px * (static_cast<double>(i) + 0.5));
  return svg.finish(width_px, bottom + 34, "tendencies", "Recurring problems, against the rest of the recording",
                    tendency_description(rows));
}

}  // namespace
}  // namespace firmus::picture

namespace firmus {

std::string tendency_picture(const Result& result) {
  const std::vector<const HabitRow*> rows = picture::rows_with_interval(result);
  return result.error || rows.empty() ? std::string() : picture::draw_tendency_picture(rows);
}

}  // namespace firmus
