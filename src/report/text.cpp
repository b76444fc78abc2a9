#include "firmus/base.hpp"
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
  const Standing standing = standing_of(result);
  add_facts(page, result);
  page.gap();
  add_headline(page, result, colour);
  page.gap();
  if (standing != Standing::not_this_melody) {
    add_habits(page, result, colour);
    page.gap();
    add_furthest(page, result, colour);
    page.gap();
    add_centre(page, result);
    add_longest_in_tune(page, result);
    add_not_judged(page, result);
  }
  add_trust(page, result);
  if (standing == Standing::marked || standing == Standing::needs_a_listen) add_care(page);
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

}  // namespace firmus
