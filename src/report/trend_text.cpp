// The trend as text, 78 columns: for a class first a table of its students, then a part for each student.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "base/base.hpp"
#include "report/text_page.hpp"
#include "report/words.hpp"
#include "trend/trend.hpp"
#include "trend_words.hpp"

namespace firmus::report {
namespace {

constexpr int student_columns = 16;

std::string name_of(const StudentTrend& student) {
  return student.student ? display_name(*student.student) : "without a name";
}

std::string percent(const std::optional<double>& share) {
  return share ? fmt::format("{:.0f} %", 100 * *share) : "-";
}
std::string whole(const std::optional<double>& value) {
  return value ? fmt::format("{:.0f}", *value + 0.0) : "-";
}
std::string signed_whole(const std::optional<double>& value) {
  if (!value) return "-";
  const auto rounded = std::lround(*value);
  return rounded == 0 ? "0" : fmt::format("{:+}", rounded);
}

/// "20 cents at first, 11 at last; 60 % in tune, then 86 %"
std::string ends_in_words(const TrendPoint& first, const TrendPoint& last) {
  return fmt::format("{} cents at first, {} at last; {} in tune, then {}", whole(first.mean_abs_cents),
                     whole(last.mean_abs_cents), percent(first.in_tune_share), percent(last.in_tune_share));
}

/// Whether the first and the last point differ the way that the line goes: dates between them may say otherwise.
bool ends_agree(const TrendFigure& off, const TrendPoint& first, const TrendPoint& last) {
  return first.mean_abs_cents && last.mean_abs_cents &&
         (*last.mean_abs_cents - *first.mean_abs_cents) * off.per_week > 0;
}

/// The mean absolute error at the first and the last point, and its trend.
void add_headline(Page& page, const StudentTrend& student) {
  const TrendPoint &first = student.points.front(), &last = student.points.back();
  const std::string_view points = student.by_date ? "dates" : "takes";
  if (student.points.size() == 1) {
    page.paragraph(fmt::format("{} of {} in tune, average error {} cents. To see a change takes at least {} {}.",
                               first.in_tune, counted(first.judged, "note"), whole(first.mean_abs_cents),
                               trend::fewest_points, points));
    return;
  }
  const TrendFigure* off = figure_of(student, TrendFigureKind::mean_abs);
  const std::string ends = ends_in_words(first, last);
  if (!off) {
    page.paragraph(fmt::format("Average error {}. {} {} are too few to see a change; at least {} are needed.", ends,
                               student.points.size(), points, trend::fewest_points));
    return;
  }
  if (!off->clear) {
    page.paragraph(fmt::format("No clear change: average error {}. It may be day-to-day variation.", ends));
    return;
  }
  page.paragraph(fmt::format(
      "{}: over all {} the average error is {}.{}", change_in_words(student) == "better" ? "Better" : "Worse", points,
      total_change_in_words(*off), ends_agree(*off, first, last) ? " Average error " + ends + "." : ""));
}

void add_clear_figures(Page& page, const StudentTrend& student) {
  constexpr std::array<std::pair<TrendFigureKind, std::string_view>, 5> named{
      {{TrendFigureKind::in_tune_share, "in tune"},
       {TrendFigureKind::precision, "spread"},
       {TrendFigureKind::accuracy, "mean error"},
       {TrendFigureKind::centre, "centre"},
       {TrendFigureKind::drift, "drift"}}};
  const TrendFigure* off = figure_of(student, TrendFigureKind::mean_abs);
  const bool headline = off && off->clear;
  std::string words;
  for (const auto& [kind, name] : named) {
    const TrendFigure* figure = figure_of(student, kind);
    if (!figure || !figure->clear) continue;
    const Sense sense = sense_of(*figure);
    if (headline && sense != Sense::neither && sense != sense_of(*off)) continue;  // would contradict the headline
    words += fmt::format("{}{}: {}", words.empty() ? "" : "; ", name, total_change_in_words(*figure));
  }
  if (!words.empty()) page.entry(headline ? "Also clear" : "Clear", words);
}

void add_points(Page& page, const StudentTrend& student) {
  if (student.points.size() < 2) return;
  page.line(student.by_date ? "Date by date, in cents (drift per minute)"
                            : "Recording by recording, in cents (drift per minute)");
  page.line(fmt::format("  {:<16}{:>6}{:>8}{:>9}{:>9}{:>11}{:>8}{:>9}", student.by_date ? "date" : "take", "takes",
                        "judged", "in tune", "average", "variation", "your A", "drift"));
  for (const TrendPoint& point : student.points)
    page.line("  " +
              padded(student.by_date ? *point.date : shortened(file_of(point.takes.front()), student_columns - 1),
                     student_columns) +
              fmt::format("{:>6}{:>8}{:>9}{:>9}{:>11}{:>8}{:>9}", point.takes.size(), point.judged,
                          percent(point.in_tune_share), whole(point.mean_abs_cents), whole(point.precision_cents),
                          signed_whole(point.centre_cents), signed_whole(point.drift_cents_per_minute)));
  page.gap();
}

struct Heading {
  std::initializer_list<HabitTrend> statuses;
  std::string_view text;
};

void add_habits(Page& page, const StudentTrend& student, Colour colour) {
  using enum HabitTrend;
  static const std::array headings{Heading{{appeared, worse, reversed}, "New or worse"},
                                   Heading{{stays}, "Recurring problems"}, Heading{{better}, "Improving"},
                                   Heading{{gone}, "Solved"}, Heading{{uncertain}, "Not enough recent notes to tell"}};
  for (const Heading& heading : headings) {
    bool first = true;
    for (const TrendHabit& habit : student.habits) {
      if (std::find(heading.statuses.begin(), heading.statuses.end(), habit.change.status) == heading.statuses.end())
        continue;
      if (first) page.line(heading.text);
      first = false;
      page.item(trend_habit_in_words(habit), is_flat(habit) ? Tint::flat : Tint::sharp, colour);
    }
    if (!first) page.gap();
  }
  if (student.habits.empty())
    page.paragraph(
        fmt::format("No recurring problem in {}.", counted(static_cast<int>(student.takes.size()), "recording")));
  page.gap();
}

/// Remarks: what is compared, different melodies or settings, excluded takes.
void add_notes(Page& page, const StudentTrend& student) {
  const bool compared = student.earlier_points > 0 && !student.habits.empty();
  if (compared && student.by_date)
    page.entry("Compared", fmt::format("first half (before {}) with the second half",
                                       *student.points[student.earlier_points].date));
  if (compared && !student.by_date)
    page.entry("Compared",
               fmt::format("the first {} with the others", counted(static_cast<int>(student.earlier_points), "take")));
  if (student.melodies > 1)
    page.entry("Melodies", fmt::format("{} different ones: a harder one can look like a step back", student.melodies));
  if (student.settings_differ)
    page.entry("Settings",
               "the recordings were not all checked with the same reference, tolerance and tuning; check them again "
               "alike before you compare the figures");
  for (const TrendLeftOut& left_out : student.left_out)
    page.entry("Left out", display_name(left_out.name + ": " + left_out_in_words(left_out)));
}

void add_student(Page& page, const StudentTrend& student, Colour colour) {
  page.entry(student.student ? "Student" : "Takes",
             student.student ? name_of(student) + ", " + span_in_words(student) : span_in_words(student));
  page.gap();
  if (!student.points.empty()) {
    add_headline(page, student);
    add_clear_figures(page, student);
    page.gap();
    add_points(page, student);
    add_habits(page, student, colour);
  }
  add_drills(page, student);
  add_notes(page, student);
}

std::string class_row(const StudentTrend& student) {
  const std::string name = padded(shortened(name_of(student), student_columns - 1), student_columns);
  if (student.points.empty()) return "  " + name + change_in_words(student);
  const TrendPoint &first = student.points.front(), &last = student.points.back();
  return "  " + name +
         fmt::format("{:>5}{:>12}{:>7}{:>11}{:>7}  {}", student.takes.size(), whole(first.mean_abs_cents),
                     whole(last.mean_abs_cents), percent(first.in_tune_share), percent(last.in_tune_share),
                     change_in_words(student));
}

/// How many students have each habit now, and for how many it is gone or better (a student can be in both counts).
/// Habits whose two counts add up to 1 are left out.
void add_class_habits(Page& page, const Trend& trend, Colour colour) {
  struct Shared {
    int now = 0, less = 0;
    bool flat = false;
  };
  std::map<std::string, Shared> by_name;
  for (const StudentTrend& student : trend.students)
    for (const TrendHabit& habit : student.habits) {
      const HabitTrend status = habit.change.status;
      const HabitRow& row = habit.change.habit.row;
      const std::string_view way = is_substitution(row) ? "" : is_flat(habit) ? " flat" : " sharp";
      const std::string words = sentence_case(group_in_words(row)) + std::string(way);
      Shared& shared = by_name[words];
      shared.flat = is_flat(habit);
      shared.now += status != HabitTrend::gone && status != HabitTrend::uncertain ? 1 : 0;
      shared.less += status == HabitTrend::gone || status == HabitTrend::better ? 1 : 0;
    }
  std::vector<std::pair<std::string, Shared>> rows(by_name.begin(), by_name.end());
  std::stable_sort(rows.begin(), rows.end(), [](const auto& a, const auto& b) { return a.second.now > b.second.now; });
  std::erase_if(rows, [](const auto& row) { return row.second.now + row.second.less < 2; });
  if (rows.empty()) return;
  page.line("Problems shared by several students");
  for (const auto& [words, shared] : rows)
    page.item(fmt::format("{}: {} now{}", words, counted(shared.now, "student"),
                          shared.less > 0 ? fmt::format("; solved or better with {}", shared.less) : ""),
              shared.flat ? Tint::flat : Tint::sharp, colour);
  page.gap();
}

void add_class(Page& page, const Trend& trend, Colour colour) {
  int takes = 0;
  for (const StudentTrend& student : trend.students) takes += static_cast<int>(student.takes.size());
  page.entry("Class", fmt::format("{}, {}", counted(static_cast<int>(trend.students.size()), "student"),
                                  counted(takes, "take")));
  page.gap();
  page.line("First and latest date: average error in cents, share in tune");
  page.line(fmt::format("  {:<16}{:>5}{:>12}{:>7}{:>11}{:>7}  {}", "student", "takes", "error first", "latest",
                        "tune first", "latest", "change"));
  for (const StudentTrend& student : trend.students) page.line(class_row(student));
  page.gap();
  add_class_habits(page, trend, colour);
}

}  // namespace

std::vector<SummaryBlock> trend_part(const StudentTrend& student, TrendPart part) {
  Page page;
  switch (part) {
    case TrendPart::headline:
      page.paragraph(span_in_words(student));
      if (student.points.empty()) break;
      add_headline(page, student);
      add_clear_figures(page, student);
      break;
    case TrendPart::habits:
      if (!student.points.empty()) add_habits(page, student, Colour::never);
      break;
    case TrendPart::notes:
      add_notes(page, student);
      break;
  }
  return page.blocks();
}

std::vector<SummaryBlock> trend_class_habits(const Trend& trend) {
  Page page;
  add_class_habits(page, trend, Colour::never);
  return page.blocks();
}

}  // namespace firmus::report

namespace firmus {
using namespace report;

std::string trend_as_text(const Trend& trend, Colour colour) {
  Page page;
  const bool is_class = trend.students.size() > 1;
  if (is_class) add_class(page, trend, colour);
  for (const StudentTrend& student : trend.students) {
    if (is_class) page.line(std::string(page_columns, '-'));
    add_student(page, student, colour);
    page.gap();
  }
  page.entry("Care", teacher_judges);
  return page.text();
}

}  // namespace firmus
