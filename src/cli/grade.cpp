// firmus grade FOLDER --melody FILE --out DIR, firmus grade ASSIGNMENT.json --out DIR
#include <fmt/format.h>

#include <set>

#include "commands.hpp"
#include "firmus/report.hpp"
#include "grade_options.hpp"
#include "report/cell.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "take_output.hpp"

namespace firmus::cli {
namespace {

void warn_of_plan(const GradePlan& plan) {
  for (const Melody& melody : plan.melodies)
    for (const Problem& warning : melody.warnings) warn(warning);
  for (const Unmatched& file : plan.matched.unmatched)
    warn({{plan.takes_folder + "/" + file.name},
          unmatched_words(file),
          "write the student beside it in " + plan.options.out_folder + "/private/whose.csv"});
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

/// Whose the files are, as CSV: nothing is measured or written.
std::string listing(const GradePlan& plan) {
  std::string text = "file,student,piece,try,missing\n";
  std::set<std::pair<std::string, std::size_t>> handed_in;
  for (const MatchedTake& take : plan.matched.takes) {
    handed_in.emplace(take.student, take.piece);
    text += fmt::format("{},{},{},{},\n", report::csv_cell(plan.names[take.file]), report::csv_cell(take.student),
                        report::csv_cell(plan.rules.pieces[take.piece].id), take.number);
  }
  for (const Unmatched& file : plan.matched.unmatched)
    text += fmt::format("{},,,,{}\n", report::csv_cell(file.name), report::csv_cell(unmatched_words(file)));
  for (const std::string& student : plan.matched.students)
    for (std::size_t piece = 0; piece < plan.rules.pieces.size(); ++piece)
      if (!handed_in.contains({student, piece}))
        text += fmt::format(",{},{},,not handed in\n", report::csv_cell(student),
                            report::csv_cell(plan.rules.pieces[piece].id));
  return text;
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
  if (!shard && !report.signal && !command.quiet) name_page_to_open(plan.options.out_folder + "/class.html");
  return output.status();
}

}  // namespace

ExitStatus run_grade(int argc, const char* const* argv) {
  RawGrade raw;
  Arguments arguments("firmus grade",
                      "Grades a whole assignment: who handed in, a gradebook, a page for each student\n"
                      "and the class.\n"
                      "Run again, it measures only what changed.",
                      "  firmus grade week3 --melody lantern.melody --roster class.csv --out graded\n"
                      "  firmus grade week3 --melody kite.musicxml --melody mill.mid --out graded\n"
                      "  firmus grade week3/assignment.json --out graded\n"
                      "\n"
                      "Exit status: 0 done; 1 a take could not be measured, or is not this melody;\n"
                      "2 the command line, melody, roster, rubric or assignment is wrong;\n"
                      "3 a take is below --require; 4 a result could not be written;\n"
                      "5 the program itself failed.");
  add_grade_options(arguments, raw);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  const GradeCommand command = resolve(raw);
  const GradePlan plan = plan_grading(command.options);
  require_output();
  if (command.list) return show(listing(plan));
  if (!command.quiet) {
    warn_of_plan(plan);
    std::vector<std::string> takes;
    for (const MatchedTake* take : takes_to_measure(plan))
      takes.push_back(plan.takes_folder + "/" + plan.names[take->file]);
    tell_of_ffmpeg(takes, plan.options.reading);
  }
  return run(plan, command);
}

}  // namespace firmus::cli
