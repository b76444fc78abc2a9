#include "grade_options.hpp"

#include <fmt/format.h>

#include <charconv>

#include "values.hpp"

namespace firmus::cli {
namespace {

std::string assignment_of(const RawGrade& raw) {
  if (raw.what.empty()) usage_error("nothing to grade is given", "write firmus grade FOLDER --melody FILE --out DIR");
  if (raw.what.size() > 1) usage_error("more than one folder or assignment is given", "write firmus grade for each");
  return path_value("FOLDER", raw.what.front());
}

Shard shard_value(const std::string& text) {
  constexpr int most_shards = 100000;
  Shard shard{0, 0};
  const char* const end = text.data() + text.size();
  const auto first = std::from_chars(text.data(), end, shard.number);
  if (first.ec == std::errc() && first.ptr != end && *first.ptr == '/') {
    const auto second = std::from_chars(first.ptr + 1, end, shard.of);
    if (second.ec == std::errc() && second.ptr == end && shard.number >= 1 && shard.number <= shard.of &&
        shard.of <= most_shards)
      return shard;
  }
  usage_error(fmt::format("--shard: \"{}\" is not a part", text), "write I/N, from 1/N to N/N, such as 2/8");
}

}  // namespace

void add_grade_options(Arguments& arguments, RawGrade& raw) {
  arguments.positionals("FOLDER|ASSIGNMENT.json", "a folder of takes of one melody, or an assignment", raw.what);
  arguments.option("--out", "DIR", "where the gradebook, pages and results go", raw.out);
  arguments.option("--melody", "FILE", "the melody (folder)", raw.melody);
  add_line_options(arguments, raw.line);
  arguments.option("--bars", "9-16", "only these bars are sung and marked (folder)", raw.bars);
  arguments.option("--roster", "CLASS.csv", "ids in a column student (folder)", raw.roster);
  arguments.option("--match", "PATTERN", "names of files: {student}, {piece}, {try}, * (folder)", raw.match);
  arguments.option("--format", "text|json|csv", "what to print (text): class.txt, or the gradebook", raw.format);
  add_settings_options(arguments, raw.settings);
  arguments.option("--require", "PERCENT", "status 3 if less of a take's judged notes is in tune", raw.require);
  arguments.option("--date", "YYYY-MM-DD", "kept in the results", raw.date);
  arguments.option("--shard", "I/N", "measure one part of N, for a job array; then join without it", raw.shard);
  arguments.flag("--fresh", "measure every take again", raw.fresh);
  arguments.option("--jobs", "N", "threads, over takes (cores)", raw.jobs);
  add_take_options(arguments, raw.reading);
  arguments.flag("--quiet", "no warnings, no progress", raw.quiet);
}

GradeCommand resolve(const RawGrade& raw) {
  GradeCommand command;
  GradeOptions& options = command.options;
  if (!raw.out) usage_error("--out is missing", "say into which folder the results go: --out DIR");
  options.out_folder = path_value("--out", *raw.out);
  command.format = format_value(raw.format);
  if (raw.shard) options.shard = shard_value(*raw.shard);
  options.reading = resolve(raw.reading);
  options.jobs = jobs_value(raw.jobs);
  if (raw.require) options.require_percent = number_value("--require", *raw.require, {0, 100});
  if (raw.date) options.date = date_value("--date", *raw.date);
  if (raw.match) require_pattern(*raw.match, {"--match", 0, 0});
  options.fresh = raw.fresh;
  command.quiet = raw.quiet;
  options.settings = resolve(raw.settings);
  options.assignment = assignment_of(raw);
  options.melody_path = raw.melody;
  options.line = resolve(raw.line);
  if (raw.bars) options.bars = bars_value("--bars", *raw.bars);
  options.roster_path = raw.roster;
  options.match = raw.match;
  return command;
}

}  // namespace firmus::cli
