#include "check_options.hpp"

#include <algorithm>
#include <array>

#include "onsets/onsets.hpp"
#include "takes.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

Format format_of(const std::optional<std::string>& text) {
  constexpr std::array<std::string_view, 3> choices{"text", "json", "csv"};
  return text ? static_cast<Format>(choice_value("--format", *text, choices)) : Format::text;
}

/// Options that make no sense without a melody.
void require_melody_for(const RawCheck& raw) {
  if (raw.melody) return;
  if (raw.settings.reference)
    wrong_usage("--reference needs --melody", "without one, notes are told against the nearest notes");
  if (raw.require) wrong_usage("--require needs --melody", "without one, nothing is marked");
}

void fill_context(CheckPlan& plan, const RawCheck& raw) {
  if (raw.student) plan.measuring.context.student = id_value("--student", *raw.student);
  if (raw.date) plan.measuring.context.date = date_value("--date", *raw.date);
}

/// What can be told without opening a file comes first, so that a slip of the pen is told at once.
void check_values(CheckPlan& plan, const RawCheck& raw) {
  require_melody_for(raw);
  plan.format = format_of(raw.format);
  plan.reading = resolve(raw.reading);
  plan.jobs = raw.jobs ? whole_value("--jobs", *raw.jobs, 1, most_jobs) : default_jobs();
  if (raw.require) plan.require_percent = number_value("--require", *raw.require, {0, 100});
  if (raw.out) plan.out = path_value("--out", *raw.out);
  if (raw.trace) plan.trace = path_value("--trace", *raw.trace);
  plan.quiet = raw.quiet;
  fill_context(plan, raw);
  plan.measuring.settings = settle(raw.settings, plan.melody);
}

}  // namespace

void add_check_options(Arguments& arguments, RawCheck& raw) {
  arguments.positionals("TAKE", "recordings; - is one from standard input", raw.takes);
  arguments.option("--melody", "FILE", "the melody; without it: nearest notes, no mark", raw.melody);
  arguments.option("--out", "DIR", "also write STEM.txt, .json, .csv tables, .svg and .html there", raw.out);
  arguments.option("--format", "text|json|csv", "what to print (text)", raw.format);
  add_settings_options(arguments, raw.settings);
  arguments.option("--require", "PERCENT", "status 3 if less of the judged notes is in tune", raw.require);
  arguments.option("--takes-from", "FILE", "more takes, a path a line; - is standard input", raw.takes_from);
  arguments.option("--student", "ID", "kept in the results", raw.student);
  arguments.option("--date", "YYYY-MM-DD", "kept in the results", raw.date);
  arguments.option("--jobs", "N", "threads, over takes and within a long one (cores)", raw.jobs);
  add_take_options(arguments, raw.reading);
  arguments.flag("--quiet", "no warnings, no progress", raw.quiet);
  arguments.flag("--schema", "print the JSON Schema of a result, then end", raw.schema);
  arguments.flag("--fields", "print what each column and key means, then end", raw.fields);
  arguments.option("--trace", "DIR", "for maintainers: what each stage saw, as CSV", raw.trace);
  arguments.option("--weights", "FILE", "for maintainers: weights written by firmus-fit", raw.weights);
}

CheckPlan resolve(const RawCheck& raw) {
  CheckPlan plan;
  check_values(plan, raw);
  plan.takes = collect_takes(raw.takes, raw.takes_from);
  // Takes side by side come first: they have nothing to wait for in each other.
  plan.measuring.threads =
      std::max(1, plan.jobs / static_cast<int>(std::min<std::size_t>(plan.takes.size(), most_jobs)));
  if (plan.out || plan.trace) require_different_stems(plan.takes);
  if (raw.melody) {
    plan.melody_path = path_value("--melody", *raw.melody);
    plan.melody = read_melody_file(*plan.melody_path);
    plan.measuring.settings = settle(raw.settings, plan.melody);  // once more, with what the melody says
  }
  if (raw.weights) plan.measuring.net = read_onset_net(path_value("--weights", *raw.weights));
  return plan;
}

}  // namespace firmus::cli
