// firmus check TAKE... --melody FILE
#include "batch/out_folder.hpp"
#include "check_options.hpp"
#include "commands.hpp"
#include "firmus/report.hpp"
#include "next_command.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "take_output.hpp"

namespace firmus::cli {
namespace {

std::string printed(const CheckCommand& command, const std::string& take, const Result& result) {
  switch (command.format) {
    case OutputFormat::json:
      return as_json(result) + "\n";
    case OutputFormat::csv:
      return notes_csv_rows(result);
    case OutputFormat::text:
      return as_text(result, colour_wanted(), next_command(command, take, result));
  }
  return {};
}

/// Results on standard output, one after the other.
class ResultPrinter {
 public:
  explicit ResultPrinter(OutputFormat format) : format_(format) {}
  void start() const {
    if (format_ == OutputFormat::csv) put(notes_csv_header());
  }
  void print(const std::string& text) {
    const bool separated = format_ == OutputFormat::text && printed_any_;
    put(separated ? "\n" + std::string(78, '-') + "\n" + text : text);
    flush_output();
    printed_any_ = true;
  }

 private:
  OutputFormat format_;
  bool printed_any_ = false;
};

ExitStatus run(const CheckCommand& command) {
  ResultPrinter results(command.format);
  TakeOutput output(command.options.takes.size(), command.quiet ? Warnings::suppressed : Warnings::shown);
  CheckOptions options = command.options;
  options.render = [&](const std::string& take, const Result& result) { return printed(command, take, result); };
  options.next_step = [&](const std::string& take, const Result& result) {
    return next_command(command, take, result);
  };
  BatchEvents events;
  events.on_start = [&] { results.start(); };
  events.on_take = [&](const TakeOutcome& outcome) {
    output.clear_progress();
    results.print(outcome.text);
    output.report(outcome);
  };
  events.on_interrupt = [&](int signal) { output.end_by(signal); };
  check_takes(options, events);
  output.clear_progress();
  flush_output();
  return output.status();
}

}  // namespace

ExitStatus run_check(int argc, const char* const* argv) {
  RawCheck raw;
  Arguments arguments("firmus check", "Measures takes against their melody: which notes are sharp or flat, how far.",
                      "  firmus check ana.flac --melody lantern.melody\n"
                      "  firmus check week3/*.flac --melody lantern.melody --out results\n"
                      "\n"
                      "Exit status: 0 done; 1 a take could not be measured, or is not this melody;\n"
                      "2 the command line or the melody is wrong; 3 a take is below --require;\n"
                      "4 a result could not be written; 5 the program itself failed.");
  add_check_options(arguments, raw);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  if (raw.schema) return show(json_schema());
  if (raw.fields) return show(field_reference());
  const CheckCommand command = resolve(raw);
  require_output();
  if (command.options.measuring.trace_dir) batch::make_folder("--trace", *command.options.measuring.trace_dir);
  if (command.options.melody && !command.quiet)
    for (const Problem& warning : command.options.melody->warnings) warn(warning);
  if (!command.quiet) tell_of_ffmpeg(command.options.takes, command.options.reading);
  return run(command);
}

}  // namespace firmus::cli
