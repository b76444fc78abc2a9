#include "check_options.hpp"

#include "batch/find_results.hpp"
#include "firmus/since.hpp"
#include "onsets/onsets.hpp"
#include "takes.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

/// Options that have no meaning without a melody.
void require_melody_for(const RawCheck& raw) {
  if (raw.melody && raw.key) usage_error("--key is for takes without a melody", "write key: in the melody itself");
  if (raw.melody) return;
  if (raw.settings.reference && !raw.key)
    usage_error("--reference needs --melody or --key", "without them, nothing is judged");
  if (raw.since) usage_error("--since needs --melody", "give the melody that both takes are of");
  if (resolve(raw.line).any())
    usage_error("--part, --tune and --verse need --melody", "give the score that they choose from");
  if (raw.bars) usage_error("--bars needs --melody", "give the melody that the bars are of");
  if (raw.require) usage_error("--require needs --melody", "without one, nothing is marked");
}

/// What can be checked without opening a file comes first, so that a typing error is reported at once.
CheckCommand check_values(const RawCheck& raw) {
  CheckCommand command;
  CheckOptions& options = command.options;
  require_melody_for(raw);
  command.format = format_value(raw.format);
  options.reading = resolve(raw.reading);
  options.jobs = jobs_value(raw.jobs);
  if (raw.key) options.measuring.key = key_value("--key", *raw.key);
  if (raw.bars) bars_value("--bars", *raw.bars);
  if (raw.require) options.require_percent = number_value("--require", *raw.require, {0, 100});
  if (raw.out) options.out_folder = path_value("--out", *raw.out);
  if (raw.trace) options.measuring.trace_dir = path_value("--trace", *raw.trace);
  command.quiet = raw.quiet;
  Context& context = options.measuring.context;
  if (raw.student) context.student = id_value("--student", *raw.student);
  if (raw.date) context.date = date_value("--date", *raw.date);
  return command;
}

/// The result of --since. `options` has the melody and the settings.
Result earlier_result(const std::string& path, const CheckOptions& options) {
  Result earlier = batch::read_result_file(path);
  if (auto reason = reason_not_comparable(earlier, *options.melody, options.measuring.settings, path))
    throw InputError(std::move(*reason));
  return earlier;
}

}  // namespace

void add_check_options(Arguments& arguments, RawCheck& raw) {
  arguments.positionals("TAKE", "recordings or folders of them; - is standard input", raw.takes);
  arguments.option("--melody", "FILE", "the melody; it may also stand among the takes", raw.melody);
  add_line_options(arguments, raw.line);
  arguments.option("--bars", "9-16", "only these bars are sung and judged", raw.bars);
  arguments.option("--key", "KEY", "no melody: judge in this key, such as \"G major\"", raw.key);
  arguments.option("--out", "DIR", "also write the text, tables, pictures and page there", raw.out);
  arguments.option("--format", "text|json|csv", "what to print (text)", raw.format);
  add_settings_options(arguments, raw.settings);
  arguments.option("--require", "PERCENT", "status 3 if less of the judged notes is in tune", raw.require);
  arguments.option("--since", "RESULT", "what is better than in an earlier take of the melody", raw.since);
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

CheckCommand resolve(RawCheck raw) {
  if (!raw.melody) raw.melody = take_out_melody(raw.takes, resolve(raw.line));
  CheckCommand command = check_values(raw);
  CheckOptions& options = command.options;
  const SettingsOverrides overrides = resolve(raw.settings);
  options.takes = collect_takes(raw.takes, raw.takes_from);
  if (raw.melody) options.takes = with_folders_opened(options.takes, *raw.melody);
  if (options.out_folder || options.measuring.trace_dir) require_different_stems(options.takes);
  if (raw.melody) {
    command.melody_path = path_value("--melody", *raw.melody);
    options.melody = read_melody_file(*command.melody_path, resolve(raw.line));
    if (raw.bars)
      options.melody = passage_of(std::move(*options.melody), bars_value("--bars", *raw.bars), *command.melody_path);
  }
  options.measuring.settings = apply_overrides(overrides, options.melody);
  if (raw.since) options.since = earlier_result(path_value("--since", *raw.since), options);
  if (raw.weights) options.measuring.net = read_onset_net(path_value("--weights", *raw.weights));
  return command;
}

}  // namespace firmus::cli
