#include <fmt/format.h>

#include "base/markup.hpp"
#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "html.hpp"
#include "page_sections.hpp"
#include "report/trend_words.hpp"
#include "report/words.hpp"

namespace firmus::page {
namespace {

using Kind = TableCell::Kind;

std::string student_name(const StudentTrend& student) {
  return student.student.value_or("without a name");
}

TableCell whole_cell(const std::optional<double>& value) {
  return {value ? fmt::format("{:.0f}", *value + 0.0) : "", Kind::figure};
}
TableCell signed_cell(const std::optional<double>& value) {
  return {value ? report::signed_cents(*value) : "", Kind::figure};
}
TableCell percent_cell(const std::optional<double>& share) {
  return {share ? fmt::format("{:.0f} %", 100 * *share) : "", Kind::figure};
}

void add_points(Html& html, const StudentTrend& student) {
  std::vector<TableRow> rows;
  for (const TrendPoint& point : student.points)
    rows.push_back({{{point.date.value_or(point.takes.front()), Kind::row_head},
                     {std::to_string(point.takes.size()), Kind::figure},
                     {std::to_string(point.judged), Kind::figure},
                     percent_cell(point.in_tune_share),
                     whole_cell(point.mean_abs_cents),
                     whole_cell(point.precision_cents),
                     signed_cell(point.centre_cents),
                     signed_cell(point.drift_cents_per_minute)}});
  add_table(html, student.by_date ? "Date by date, in cents" : "Recording by recording, in cents",
            {{student.by_date ? "Date" : "Take"},
             {"Takes", Kind::figure},
             {"Judged", Kind::figure},
             {"In tune", Kind::figure},
             {"Average error", Kind::figure},
             {"Variation", Kind::figure},
             {"Your A", Kind::figure},
             {"Drift per minute", Kind::figure}},
            rows);
}

void add_trend_drills(Html& html, const TrendDrills& drills, int level) {
  add_blocks(html, report::trend_drill_words(drills), level);
  std::vector<TableRow> rows;
  for (const TrendDrillPoint& point : drills.points)
    rows.push_back({{{drills.by_date ? *point.date : point.takes.front(), Kind::row_head},
                     {point.drill},
                     {fmt::format("{} of {}", point.in_tune, point.notes), Kind::figure},
                     {std::to_string(point.most_in_a_row), Kind::figure},
                     signed_cell(point.mean_cents),
                     {point.done ? "yes" : "no"}}});
  add_table(html, drills.by_date ? "The drills date by date" : "The drills recording by recording",
            {{drills.by_date ? "Date" : "Take"},
             {"Drill"},
             {"In tune", Kind::figure},
             {"In a row", Kind::figure},
             {"Average error (cents)", Kind::figure},
             {"Done"}},
            rows);
}

void add_student_trend(Html& html, const StudentTrend& student, std::size_t number, int level) {
  const std::string prefix = fmt::format("s{}-", number + 1);
  add_blocks(html, report::trend_part(student, report::TrendPart::headline), level);
  add_figure(
      html, trend_picture(student), prefix,
      "Each chart shows one figure, from the first recording to the last; below them, the recurring problems. Above 0 "
      "is sharp, below is flat.");
  add_blocks(html, report::trend_part(student, report::TrendPart::habits), level);
  if (!student.points.empty()) add_points(html, student);
  for (const TrendDrills& drills : student.drills) add_trend_drills(html, drills, level);
  add_blocks(html, report::trend_part(student, report::TrendPart::notes), level);
}

void add_class_trend(Html& html, const Trend& trend) {
  std::vector<TableRow> rows;
  for (std::size_t i = 0; i < trend.students.size(); ++i) {
    const StudentTrend& student = trend.students[i];
    TableRow row{{{fmt::format("<a href=\"#student-{}\">{}</a>", i + 1, markup_escaped(student_name(student))),
                   Kind::row_head_markup},
                  {std::to_string(student.takes.size()), Kind::figure}}};
    const bool any = !student.points.empty();
    const TrendPoint none, &first = any ? student.points.front() : none, &last = any ? student.points.back() : none;
    row.cells.insert(row.cells.end(), {whole_cell(first.mean_abs_cents),
                                       whole_cell(last.mean_abs_cents),
                                       percent_cell(first.in_tune_share),
                                       percent_cell(last.in_tune_share),
                                       {report::change_in_words(student)}});
    rows.push_back(std::move(row));
  }
  add_table(html, "First and latest result",
            {{"Student"},
             {"Takes", Kind::figure},
             {"Average error (cents), first", Kind::figure},
             {"Latest", Kind::figure},
             {"In tune, first", Kind::figure},
             {"Latest", Kind::figure},
             {"Change"}},
            rows);
  add_blocks(html, report::trend_class_habits(trend), 2);
}

std::string trend_title(const Trend& trend) {
  const bool of_one = trend.students.size() == 1 && trend.students[0].student;
  return of_one ? "Progress: " + *trend.students[0].student : "Progress";
}

void add_trend(Html& html, const Trend& trend) {
  const bool is_class = trend.students.size() > 1;
  html.begin("main");
  html.heading(1, trend_title(trend));
  if (is_class) add_class_trend(html, trend);
  for (std::size_t i = 0; i < trend.students.size(); ++i) {
    if (is_class) {
      html.raw(fmt::format("<h2 id=\"student-{}\">{}</h2>\n", i + 1, markup_escaped(student_name(trend.students[i]))));
    }
    add_student_trend(html, trend.students[i], i, is_class ? 3 : 2);
  }
  html.end("main");
  add_caution_footer(html);
}

}  // namespace
}  // namespace firmus::page

namespace firmus {

std::string trend_page(const Trend& trend) {
  page::Html html;
  page::add_trend(html, trend);
  return page::whole_page(page::trend_title(trend), html);
}

}  // namespace firmus
