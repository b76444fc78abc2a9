#include "base/base.hpp"
#include "text_blocks.hpp"

namespace firmus {
using namespace report;
namespace {

void add_error(Page& page, const Result& result) {
  page.entry("Take", display_name(result.take.name));
  page.gap();
  page.paragraph("Not measured: " + display_name(result.error->detail));
  if (!result.error->advice.empty()) page.paragraph("What helps: " + display_name(result.error->advice));
}

void add_measurement(Page& page, const Result& result, Colour colour) {
  const ResultStatus standing = result_status_of(result);
  add_facts(page, result);
  page.gap();
  add_headline(page, result, colour);
  page.gap();
  if (standing != ResultStatus::not_this_melody) {
    add_since(page, result);
    page.gap();
    add_drill(page, result);
    add_habits(page, result, colour);
    page.gap();
    add_furthest(page, result, colour);
    page.gap();
    add_centre(page, result);
    add_as_sung(page, result);
    add_longest_in_tune(page, result);
    add_not_judged(page, result);
  }
  add_trust(page, result);
  if (standing == ResultStatus::marked || standing == ResultStatus::needs_a_listen) add_care(page);
}

}  // namespace

std::string as_text(const Result& result, Colour colour, std::string_view next_command) {
  Page page;
  if (result.error) {
    add_error(page, result);
  } else {
    add_measurement(page, result, colour);
  }
  if (!next_command.empty()) {
    page.gap();
    page.line(padded("Next", label_columns) + std::string(next_command));  // one line, so that it can be pasted
  }
  return page.text();
}

std::vector<SummaryBlock> report::summary_part(const Result& result, SummaryPart part) {
  Page page;
  if (result.error) return {};
  switch (part) {
    case SummaryPart::facts:
      add_facts(page, result);
      break;
    case SummaryPart::headline:
      add_headline(page, result, Colour::never);
      break;
    case SummaryPart::since:
      add_since(page, result);
      break;
    case SummaryPart::habits:
      add_habits(page, result, Colour::never);
      break;
    case SummaryPart::centre:
      add_centre(page, result);
      break;
    case SummaryPart::as_sung:
      add_as_sung(page, result);
      break;
    case SummaryPart::longest:
      add_longest_in_tune(page, result);
      break;
    case SummaryPart::not_judged:
      add_not_judged(page, result);
      break;
    case SummaryPart::trust:
      add_trust(page, result);
      break;
    case SummaryPart::care:
      add_care(page);
      break;
  }
  return page.blocks();
}

}  // namespace firmus
