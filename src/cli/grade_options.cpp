#include "grade_options.hpp"

#include <fmt/format.h>

#include <charconv>
#include <filesystem>

#include "values.hpp"

namespace firmus::cli {
namespace {

std::string assignment_of(const RawGrade& raw) {
  if (raw.what.empty()) usage_error("nothing to grade is given", "write firmus grade FOLDER --melody FILE --out DIR");
  if (raw.what.size() > 1) usage_error("more than one folder or assignment is given", "write firmus grade for each");
  return path_value("FOLDER", raw.what.front());
}

bool is_folder_or_nothing(const RawGrade& raw) {
  std::error_code error;
  return raw.what.empty() || std::filesystem::is_directory(raw.what.front(), error);
}

TriesRule tries_value(const std::string& text) {
  for (const auto& [rule, name] : enum_names(TriesRule{}))
    if (text == name) return rule;
  usage_error(fmt::format("--tries: \"{}\" is not a rule", text), "write last_full, best or mean");
}

std::pair<std::string, double> weight_value(const std::string& text) {
  constexpr double heaviest = 1000;
  const std::size_t equals = text.rfind('=');
  if (equals == std::string::npos || equals == 0)
    usage_error(fmt::format("--weight: \"{}\" is not a weight", text), "write PIECE=N, such as kite=2");
  const double weight = number_value("--weight", text.substr(equals + 1), {0, heaviest});
  if (weight == 0) usage_error("--weight: a piece weighs 0", "give a number above 0, or leave the piece out");
  return {text.substr(0, equals), weight};
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
  arguments.positionals("FOLDER|ASSIGNMENT.json", "a folder of takes, or an assignment", raw.what);
  arguments.option("--out", "DIR", "where the gradebook, pages and results go", raw.out);
  arguments.repeated("--melody", "FILE", "the melody; several times for several pieces (folder)", raw.melodies);
  add_line_options(arguments, raw.line);
  arguments.option("--bars", "9-16", "only these bars are sung and marked (folder)", raw.bars);
  arguments.option("--roster", "CLASS.csv", "class list: CSV with a column student or name (folder)", raw.roster);
  arguments.option("--match", "PATTERN", "names of files: {student}, {piece}, {try}, * (folder)", raw.match);
  arguments.option("--title", "TEXT", "title of the assignment (folder)", raw.title);
  arguments.option("--rubric", "FILE.json", "how marks are made (folder)", raw.rubric);
  arguments.option("--pass", "PERCENT", "pass from this mark on (folder)", raw.pass);
  arguments.repeated("--weight", "PIECE=N", "of a piece among several, 1 else (folder)", raw.weights);
  arguments.option("--tries", "RULE", "which try counts: last_full, best, mean (folder)", raw.tries);
  arguments.option("--overrides", "FILE.csv", "your own marks (DIR/overrides.csv) (folder)", raw.overrides);
  arguments.option("--save-assignment", "FILE.json", "write all this into an assignment (folder)", raw.save);
  arguments.flag("--list", "say whose the files are, measure and write nothing", raw.list);
  arguments.option("--format", "text|json|csv", "what to print (text): class.txt, or the gradebook", raw.format);
  add_settings_options(arguments, raw.settings);
  arguments.option("--require", "PERCENT", "status 3 if less of a take's judged notes is in tune", raw.require);
  arguments.option("--date", "YYYY-MM-DD", "kept in the results", raw.date);
  arguments.option("--shard", "I/N", "measure part I of N; join them without it", raw.shard);
  arguments.flag("--fresh", "measure every take again", raw.fresh);
  arguments.option("--jobs", "N", "threads, over takes (cores)", raw.jobs);
  add_take_options(arguments, raw.reading);
  arguments.flag("--quiet", "no warnings, no progress", raw.quiet);
}

GradeCommand resolve(const RawGrade& raw) {
  GradeCommand command;
  GradeOptions& options = command.options;
  command.list = raw.list;
  if (!raw.out && !raw.list)
    usage_error(
        raw.melodies.empty() && is_folder_or_nothing(raw) ? "--melody and --out are missing" : "--out is missing",
        "write firmus grade FOLDER --melody FILE --out DIR");
  if (raw.out) options.out_folder = path_value("--out", *raw.out);
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
  options.melody_paths = raw.melodies;
  options.title = raw.title;
  options.rubric_path = raw.rubric;
  options.overrides_path = raw.overrides;
  options.save_path = raw.save;
  if (raw.pass) options.pass_percent = number_value("--pass", *raw.pass, {0, 100});
  if (raw.tries) options.attempts = tries_value(*raw.tries);
  for (const std::string& weight : raw.weights) options.weights.push_back(weight_value(weight));
  options.line = resolve(raw.line);
  if (raw.bars) options.bars = bars_value("--bars", *raw.bars);
  options.roster_path = raw.roster;
  options.match = raw.match;
  return command;
}

}  // namespace firmus::cli
