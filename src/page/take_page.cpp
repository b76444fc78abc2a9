#include <fmt/format.h>

#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "firmus/report.hpp"
#include "html.hpp"
#include "note_player.hpp"
#include "note_table.hpp"
#include "page_sections.hpp"
#include "report/words.hpp"

namespace firmus::page {
namespace {

using report::ResultStatus;
using report::SummaryPart;

std::string take_title(const Result& result) {
  if (result.melody && !result.melody->title.empty()) return result.melody->title;
  return result.take.name.empty() ? "A take" : result.take.name;
}

void add_not_measured(Html& html, const Result& result) {
  html.text("p.lead", "Not measured");
  html.text("p", result.error->detail + ".");
  if (!result.error->advice.empty()) html.text("p", "What helps: " + result.error->advice + ".");
}

void add_take_summary(Html& html, const Result& result) {
  add_summary_part(html, result, SummaryPart::facts);
  add_headline(html, result);
  if (report::result_status_of(result) == ResultStatus::not_this_melody) return;
  add_facts_of(html, result, {SummaryPart::since});
  add_summary_part(html, result, SummaryPart::habits);
  const ResultStatus status = report::result_status_of(result);
  if (status != ResultStatus::nothing_judged && status != ResultStatus::no_melody) {
    html.heading(2, "Worst notes: listen to these");
    add_furthest(html, result);
  }
  add_facts_of(html, result, {SummaryPart::centre, SummaryPart::longest, SummaryPart::not_judged, SummaryPart::trust});
  add_summary_part(html, result, SummaryPart::as_sung);
}

void add_recording(Html& html, const Result& result) {
  html.heading(2, "The recording");
  add_recording_facts(html, result);
}

void add_next(Html& html, std::string_view next_command) {
  if (next_command.empty()) return;
  html.heading(2, "Next");
  html.text("code", next_command);
}

void add_measured_take(Html& html, const Result& result, std::string_view picture, std::string_view next_command) {
  add_take_summary(html, result);
  add_pictures(html, result, picture, "", 2);
  html.heading(2, "Every note");
  add_note_table(html, result, "");
  add_recording(html, result);
  add_next(html, next_command);
  add_note_player(html, result, "");
}

}  // namespace
}  // namespace firmus::page

namespace firmus {

std::string take_page(const Result& result, std::string_view picture, std::string_view next_command) {
  page::Html html;
  html.begin("main");
  html.heading(1, page::take_title(result));
  if (result.error) {
    page::add_not_measured(html, result);
  } else {
    page::add_measured_take(html, result, picture, next_command);
  }
  html.end("main");
  page::add_caution_footer(html);
  return page::whole_page(page::take_title(result), html);
}

}  // namespace firmus
