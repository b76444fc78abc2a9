#include "report/practice_words.hpp"

#include <fmt/format.h>

#include <cmath>

#include "report/text_page.hpp"
#include "report/words.hpp"

namespace firmus {
namespace report {

std::string drill_stem(const Practice& practice, std::size_t fault, std::size_t drill) {
  return fmt::format("{}-{}-{}", fault + 1, drill + 1, practice.faults[fault].drills[drill].name);
}

std::string fault_in_words(const PracticeFault& fault) {
  if (fault.source == FaultSource::leaning)
    return fmt::format("Possible problem: {}. Listen and decide first.", habit_in_words(fault.row));
  return fmt::format("Recurring problem: {}.", habit_in_words(fault.row));
}

std::string done_in_words(const PracticeFault& fault) {
  return fmt::format(
      "You can move on from a drill when five target notes in a row (all, where there are fewer) are within {:.0f} "
      "cents.",
      std::floor(fault.within_cents.value()));
}

std::string range_warning(const Practice& practice, const PracticeFault& fault) {
  if (fault.out_of_range)
    return fmt::format(
        "{} lies outside your comfortable range, so no drill goes there. Ask your teacher before you widen the range "
        "(--low, --high).",
        pitch_name(fault.target));
  if (practice.range_widened)
    return "The range given is wider than your comfortable range: go there gently, and stop at any strain.";
  return {};
}

std::string range_in_words(const Practice& practice) {
  if (!practice.range) return "No note was comfortable enough to build a drill on: ask your teacher.";
  return fmt::format("All drills stay between {} and {}{}.", pitch_name(practice.range->low),
                     pitch_name(practice.range->high), practice.range_widened ? "" : ", your comfortable range");
}

// Short daily practice, drills in order, listening before singing: common practice.
std::vector<std::string> how_to_practise() {
  return {
      "Ten minutes a day do more than an hour on Sunday. Warm up first, and take the drills in order: the next one "
      "when this one is done.",
      "Turn the volume up only until you hear the softest note. Hear the track once, then sing or play without it, and "
      "record that.",
      "Check the recording: firmus check TAKE --melody DRILL.melody",
      "When a drill is done, repeat it on another day."};
}

std::vector<std::string> practice_cautions() {
  return {std::string(stop_at_pain), fmt::format("{} {}", teacher_judges, teacher_stands)};
}

namespace {

void add_fault(Page& page, const Practice& practice, std::size_t number) {
  const PracticeFault& fault = practice.faults[number];
  page.gap();
  page.paragraph(fmt::format("{}. {}", number + 1, fault_in_words(fault)));
  if (const std::string warning = range_warning(practice, fault); !warning.empty()) page.paragraph(warning);
  if (!fault.drills.empty()) page.paragraph(done_in_words(fault));
  for (std::size_t i = 0; i < fault.drills.size(); ++i) {
    page.gap();
    page.line(fmt::format("{} ({}.melody)", fault.drills[i].title, drill_stem(practice, number, i)));
    page.item(fault.drills[i].how);
  }
}

}  // namespace
}  // namespace report

std::string practice_as_text(const Practice& practice) {
  using namespace report;
  Page page;
  page.line("What to practise");
  page.gap();
  if (practice.faults.empty()) {
    page.paragraph(nothing_to_drill);
  } else {
    page.paragraph(range_in_words(practice));
    page.gap();
    for (const std::string& words : how_to_practise()) page.paragraph(words);
  }
  for (std::size_t i = 0; i < practice.faults.size(); ++i) add_fault(page, practice, i);
  page.gap();
  for (const std::string& words : practice_cautions()) page.paragraph(words);
  return page.text();
}

}  // namespace firmus
