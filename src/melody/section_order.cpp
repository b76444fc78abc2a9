#include <fmt/format.h>

#include <algorithm>

#include "source.hpp"
#include "unroll.hpp"

namespace firmus::melody {
namespace {

void report_empty_sections(const ParsedMelody& parsed, Diagnostics& errors) {
  for (const Section& section : parsed.sections)
    if (!section.name.empty() && section.items.empty())
      errors.add(section.position, fmt::format("section {} holds nothing", in_quotes(section.name)),
                 "write its notes below it, or take it out");
}

void resolve_named_order(ParsedMelody& parsed, Diagnostics& errors) {
  if (parsed.sections.front().name.empty() && !parsed.sections.front().items.empty())
    errors.add(parsed.sections.front().items.front().position,
               "these notes belong to no section, so the order cannot name them", "write \"section: A\" above them");
  for (const LocatedName& named : parsed.declared_order) {
    const auto found = std::find_if(parsed.sections.begin(), parsed.sections.end(),
                                    [&](const Section& section) { return section.name == named.name; });
    if (found == parsed.sections.end() || named.name.empty())
      errors.add(named.position, fmt::format("there is not a section {}", in_quotes(named.name)),
                 "write \"section:\" and this name above its notes");
    else
      parsed.order.push_back(static_cast<std::size_t>(found - parsed.sections.begin()));
  }
}

int last_pass_with_words(const Section& section) {
  int last = 0;
  for (const Item& item : section.items)
    if (!item.words.empty()) last = std::max(last, item.words.back().pass);
  return last;
}

void warn_of_unused_sections(const ParsedMelody& parsed, Diagnostics& warnings) {
  for (std::size_t i = 0; i < parsed.sections.size(); ++i) {
    const Section& section = parsed.sections[i];
    const auto times = static_cast<int>(std::count(parsed.order.begin(), parsed.order.end(), i));
    if (times == 0)
      warnings.add(section.position, fmt::format("section {} is never played", in_quotes(section.name)),
                   "name it in \"order:\"");
    else if (const int pass = last_pass_with_words(section); pass > times)
      warnings.add(section.position,
                   fmt::format("the words for pass {} are never sung: this is played {}", pass,
                               counted(fmt::to_string(times), "time")),
                   "play it again with \"order:\"");
  }
}

}  // namespace

std::string section_name(std::size_t index) {
  std::string name;
  for (++index; index > 0; index = (index - 1) / 26)
    name.insert(name.begin(), static_cast<char>('A' + (index - 1) % 26));
  return name;
}

void resolve_order(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings) {
  report_empty_sections(parsed, errors);
  if (!parsed.declared_order.empty())
    resolve_named_order(parsed, errors);
  else
    for (std::size_t i = 0; i < parsed.sections.size(); ++i) parsed.order.push_back(i);
  if (!errors.any()) warn_of_unused_sections(parsed, warnings);
}

void visit_unrolled(const ParsedMelody& parsed, const std::function<void(const UnrolledItem&)>& visit) {
  std::vector<int> passes(parsed.sections.size());
  for (const std::size_t index : parsed.order) {
    const Section& section = parsed.sections[index];
    const int pass = ++passes[index];
    for (const Item& item : section.items) visit({&section, pass, &item});
  }
}

}  // namespace firmus::melody
