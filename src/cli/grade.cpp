// firmus grade FOLDER --melody FILE --out DIR, firmus grade ASSIGNMENT.json --out DIR
#include <fmt/format.h>

#include "commands.hpp"
#include "firmus/report.hpp"
#include "grade_options.hpp"
#include "streams.hpp"
#include "take_output.hpp"

namespace firmus::cli {
namespace {

void warn_of_plan(const GradePlan& plan) {
  for (const Melody& melody : plan.melodies)
    for (const Problem& warning : melody.warnings) warn(warning);
  for (const Unmatched& file : plan.matched.unmatched)
    warn({{plan.takes_folder + "/" + file.name}, "is nobody's take: " + unmatched_words(file), ""});
}

std::string printed(const GradeReport& report, OutputFormat format) {
  switch (format) {
    case OutputFormat::text:
      return report.class_text;
    case OutputFormat::json:
      return report.gradebook_json;
    case OutputFormat::csv:
      return report.gradebook_csv;
  }
  return {};
}

std::string printed_of_shard(const Shard& shard, std::size_t takes, std::size_t all_takes) {
  return fmt::format("Part {} of {}: {} of {} takes. The same line without --shard joins the parts.\n", shard.number,
                     shard.of, takes, all_takes);
}

ExitStatus run(const GradePlan& plan, const GradeCommand& command) {
  const std::size_t takes = takes_to_measure(plan).size();
  TakeOutput output(takes, command.quiet ? Warnings::suppressed : Warnings::shown);
  BatchEvents events;
  events.on_take = [&](const TakeOutcome& outcome) { output.report(outcome); };
  events.on_interrupt = [&](int signal) { output.end_by(signal); };
  const GradeReport report = grade_assignment(plan, events);
  output.clear_progress();
  const auto& shard = plan.options.shard;
  put(shard ? printed_of_shard(*shard, takes, plan.matched.takes.size()) : printed(report, command.format));
  flush_output();
  return output.status();
}

}  // namespace

ExitStatus run_grade(int argc, const char* const* argv) {
  RawGrade raw;
  Arguments arguments("firmus grade",
                      "Grades a whole assignment: who handed in, a gradebook, a page for each student and the class.\n"
                      "Run again, it measures only what changed.",
                      "  firmus grade week3 --melody lantern.melody --roster class.csv --out graded\n"
                      "  firmus grade week3/assignment.json --out graded\n"
                      "\n"
                      "Exit status: 0 done; 1 a take could not be measured, or is not this melody;\n"
                      "2 the command line, melody, roster, rubric or assignment is wrong;\n"
                      "3 a take is below --require; 4 a result could not be written.");
  add_grade_options(arguments, raw);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  const GradeCommand command = resolve(raw);
  const GradePlan plan = plan_grading(command.options);
  require_output();
  if (!command.quiet) warn_of_plan(plan);
  return run(plan, command);
}

}  // namespace firmus::cli
