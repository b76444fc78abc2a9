// firmus check TAKE... --melody FILE
#include <exception>
#include <memory>
#include <utility>
#include <vector>

#include "base/system/signals.hpp"
#include "check_options.hpp"
#include "check_take.hpp"
#include "commands.hpp"
#include "firmus/report.hpp"
#include "in_order.hpp"
#include "out_folder.hpp"
#include "streams.hpp"
#include "take_files.hpp"
#include "take_options.hpp"
#include "takes.hpp"

namespace firmus::cli {
namespace {

std::unique_ptr<OutFolder> open_out(const CheckPlan& plan) {
  if (!plan.out) return nullptr;
  std::vector<std::string> names;
  for (const std::string& take : plan.takes)
    for (std::string& name : take_file_names(stem_of(take))) names.push_back(std::move(name));
  return std::make_unique<OutFolder>(*plan.out, names);
}

/// Gives out what became of each take, on the main thread, in order.
class Emitter {
 public:
  explicit Emitter(const CheckPlan& plan)
      : plan_(plan), out_(open_out(plan)), progress_(plan.takes.size(), !plan.quiet) {
    if (plan_.format == Format::csv) put(notes_csv_header());
  }

  void emit(CheckedTake take) {
    progress_.clear();
    if (take.ends_the_run) std::rethrow_exception(take.ends_the_run);
    for (const auto& [name, content] : take.files) out_->write(name, content);
    const bool apart = plan_.format == Format::text && emitted_ > 0;
    put(apart ? "\n" + std::string(78, '-') + "\n" + take.output : take.output);
    flush_output();
    for (const std::string& line : take.diagnostics) diagnose(line);
    status_ = first_of(status_, take.status);
    progress_.show(++emitted_);
  }

  ExitStatus finish() {
    progress_.clear();
    if (out_) out_->finish();
    flush_output();
    return status_;
  }

 private:
  const CheckPlan& plan_;
  std::unique_ptr<OutFolder> out_;
  Progress progress_;
  std::size_t emitted_ = 0;
  ExitStatus status_ = done;
};

ExitStatus run(const CheckPlan& plan) {
  Emitter emitter(plan);
  InOrder<CheckedTake> takes(plan.takes.size(), plan.jobs,
                             [&](std::size_t i) { return check_take(plan, plan.takes[i]); });
  const auto signal = takes.emit_all([&](std::size_t, CheckedTake take) { emitter.emit(std::move(take)); });
  const ExitStatus status = emitter.finish();
  if (signal) system::end_by_signal(*signal);
  return status;
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
                      "4 a result could not be written.");
  add_check_options(arguments, raw);
  if (arguments.parse(argc, argv) == Asked::for_help) return show_help(arguments);
  if (raw.schema) return show(json_schema());
  if (raw.fields) return show(field_reference());
  const CheckPlan plan = resolve(raw);
  require_output();
  if (plan.trace) make_folder("--trace", *plan.trace);
  if (plan.melody && !plan.quiet)
    for (const Problem& warning : plan.melody->warnings) warn(warning);
  return run(plan);
}

}  // namespace firmus::cli
