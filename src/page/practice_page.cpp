#include <fmt/format.h>

#include "base/markup.hpp"
#include "drill_notes.hpp"
#include "fault_places.hpp"
#include "firmus/page.hpp"
#include "html.hpp"
#include "page_sections.hpp"
#include "report/practice_words.hpp"

namespace firmus::page {
namespace {

constexpr std::string_view how_to_read_notes =
    "How to read the notes: A4:2 is the note A4 for two beats, without a figure for one; A4-50 is 50 cents lower, and "
    "a "
    "cent is a hundredth of a semitone; hold goes on with the note before; | is a bar line, a comma a breath.";

void add_drill(Html& html, const Practice& practice, std::size_t fault, std::size_t number) {
  const Drill& drill = practice.faults[fault].drills[number];
  const std::string stem = report::drill_stem(practice, fault, number);
  html.begin("section", fmt::format(" aria-labelledby=\"drill-{}\"", stem));
  html.raw(fmt::format("<h3 id=\"drill-{}\">", stem));
  html.raw(markup_escaped(fmt::format("{}. {}", number + 1, drill.title)));
  html.raw("</h3>\n");
  html.text("p", drill.how);
  add_drill_notes(html, drill, fmt::format("drill-{}-", stem));
  html.text("p", fmt::format("Track: {0}.flac. Melody: {0}.melody.", stem));
  html.end("section");
}

void add_fault(Html& html, const Practice& practice, const NamedTakes& takes, std::size_t number) {
  const PracticeFault& fault = practice.faults[number];
  html.heading(2, fmt::format("{}. {}", number + 1, report::fault_in_words(fault)));
  if (const std::string warning = report::range_warning(practice, fault); !warning.empty()) html.text("p", warning);
  if (!fault.drills.empty()) html.text("p", report::done_in_words(fault));
  add_fault_places(html, fault, takes, fmt::format("fault-{}-", number + 1));
  for (std::size_t i = 0; i < fault.drills.size(); ++i) add_drill(html, practice, number, i);
}

void add_practice(Html& html, const Practice& practice) {
  html.begin("main");
  html.heading(1, "What to practise");
  if (practice.faults.empty()) {
    html.text("p.lead", report::nothing_to_drill);
  } else {
    html.text("p.lead", report::range_in_words(practice));
    html.list(report::how_to_practise());
    html.text("p.quiet", how_to_read_notes);
  }
  const NamedTakes takes(practice);
  for (std::size_t i = 0; i < practice.faults.size(); ++i) add_fault(html, practice, takes, i);
  html.end("main");
  add_caution_footer(html);
}

}  // namespace
}  // namespace firmus::page

namespace firmus {

std::string practice_page(const Practice& practice) {
  page::Html html;
  page::add_practice(html, practice);
  return page::whole_page("What to practise", html);
}

}  // namespace firmus
