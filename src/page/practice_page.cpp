#include <fmt/format.h>

#include <sstream>

#include "firmus/markup.hpp"
#include "firmus/page.hpp"
#include "firmus/practice_words.hpp"
#include "html.hpp"
#include "parts.hpp"

namespace firmus {
using namespace page;
using namespace report;
namespace {

/// The notes of a melody text, row by row, without its headers: what a reader can sing from.
void add_notes(Html& html, const std::string& melody) {
  std::istringstream rows(melody.substr(melody.find("\n\n") + 2));
  html.raw("<pre>");
  for (std::string row; std::getline(rows, row);) html.raw(markup_escaped(row) + "\n");
  html.raw("</pre>\n");
}

void add_drill(Html& html, const Practice& practice, std::size_t fault, std::size_t number) {
  const Drill& drill = practice.faults[fault].drills[number];
  const std::string stem = drill_stem(practice, fault, number);
  html.begin("section", fmt::format("aria-labelledby=\"drill-{}\"", stem));
  html.raw(fmt::format("<h3 id=\"drill-{}\">", stem));
  html.raw(markup_escaped(fmt::format("{}. {}", number + 1, drill.title)));
  html.raw("</h3>\n");
  html.text("p", drill.how);
  add_notes(html, drill.melody);
  html.text("p", fmt::format("Track: {0}.flac. Melody: {0}.melody.", stem));
  html.end("section");
}

void add_fault(Html& html, const Practice& practice, std::size_t number) {
  const PracticeFault& fault = practice.faults[number];
  html.heading(2, fmt::format("{}. {}", number + 1, fault_in_words(fault)));
  if (const std::string warning = range_warning(practice, fault); !warning.empty()) html.text("p", warning);
  for (std::size_t i = 0; i < fault.drills.size(); ++i) add_drill(html, practice, number, i);
}

}  // namespace

std::string practice_page(const Practice& practice) {
  Html html;
  html.begin("main");
  html.heading(1, "What to practise");
  if (practice.faults.empty()) {
    html.text("p.lead", "Nothing stands out: every note that could be judged was in tune. Sing something harder.");
  } else {
    html.text("p.lead", range_in_words(practice));
    html.list(how_to_practise());
  }
  for (std::size_t i = 0; i < practice.faults.size(); ++i) add_fault(html, practice, i);
  html.end("main");
  add_care_footer(html);
  return whole_page("What to practise", html);
}

}  // namespace firmus
