#include <fmt/format.h>

#include <algorithm>

#include "play.hpp"
#include "source.hpp"

namespace firmus::sheet {
namespace {

void report_bare_sections(const Sheet& sheet, Diagnostics& errors) {
  for (const Section& section : sheet.sections)
    if (!section.name.empty() && section.items.empty())
      errors.add(section.spot, fmt::format("section {} holds nothing", in_quotes(section.name)),
                 "write its notes below it, or take it out");
}

void order_as_named(Sheet& sheet, Diagnostics& errors) {
  if (sheet.sections.front().name.empty() && !sheet.sections.front().items.empty())
    errors.add(sheet.sections.front().items.front().spot,
               "these notes belong to no section, so the order cannot name them", "write \"section: A\" above them");
  for (const NamedSpot& named : sheet.order_given) {
    const auto found = std::find_if(sheet.sections.begin(), sheet.sections.end(),
                                    [&](const Section& section) { return section.name == named.name; });
    if (found == sheet.sections.end() || named.name.empty())
      errors.add(named.spot, fmt::format("there is no section {}", in_quotes(named.name)),
                 "write \"section:\" and this name above its notes");
    else
      sheet.order.push_back(static_cast<std::size_t>(found - sheet.sections.begin()));
  }
}

int last_pass_with_words(const Section& section) {
  int last = 0;
  for (const Item& item : section.items)
    if (!item.words.empty()) last = std::max(last, item.words.back().pass);
  return last;
}

void warn_of_the_unplayed(const Sheet& sheet, Diagnostics& warnings) {
  for (std::size_t i = 0; i < sheet.sections.size(); ++i) {
    const Section& section = sheet.sections[i];
    const auto times = static_cast<int>(std::count(sheet.order.begin(), sheet.order.end(), i));
    if (times == 0)
      warnings.add(section.spot, fmt::format("section {} is never played", in_quotes(section.name)),
                   "name it in \"order:\"");
    else if (const int pass = last_pass_with_words(section); pass > times)
      warnings.add(section.spot,
                   fmt::format("the words for pass {} are never sung: this is played {}", pass,
                               counted(fmt::to_string(times), "time")),
                   "play it again with \"order:\"");
  }
}

}  // namespace

void resolve_order(Sheet& sheet, Diagnostics& errors, Diagnostics& warnings) {
  report_bare_sections(sheet, errors);
  if (!sheet.order_given.empty())
    order_as_named(sheet, errors);
  else
    for (std::size_t i = 0; i < sheet.sections.size(); ++i) sheet.order.push_back(i);
  if (!errors.any()) warn_of_the_unplayed(sheet, warnings);
}

void visit_played(const Sheet& sheet, const std::function<void(const Played&)>& visit) {
  std::vector<int> passes(sheet.sections.size());
  for (const std::size_t index : sheet.order) {
    const Section& section = sheet.sections[index];
    const int pass = ++passes[index];
    for (const Item& item : section.items) visit({&section, pass, &item});
  }
}

}  // namespace firmus::sheet
