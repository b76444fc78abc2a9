// firmus trend RESULT...
#include "firmus/trend.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "arguments.hpp"
#include "batch/find_results.hpp"
#include "batch/out_folder.hpp"
#include "commands.hpp"
#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "streams.hpp"
#include "take_options.hpp"
#include "values.hpp"

namespace firmus::cli {
namespace {

struct RawTrend {
  std::vector<std::string> results;
  std::optional<std::string> format, out;
  bool schema = false;
};

struct TrendPlan {
  std::vector<std::string> results;
  OutputFormat format = OutputFormat::text;
  std::optional<std::string> out;
};

TrendPlan resolve(const RawTrend& raw) {
  TrendPlan plan;
  if (raw.results.empty()) usage_error("no result is given", "write firmus trend RESULT..., files or folders");
  for (const std::string& path : raw.results) plan.results.push_back(path_value("RESULT", path));
  plan.format = format_value(raw.format);
  if (raw.out) plan.out = path_value("--out", *raw.out);
  return plan;
}

struct TrendFile {
  std::string name, content;
};

std::vector<TrendFile> files_of(const Trend& trend) {
  return {{"trend.txt", trend_as_text(trend, Colour::never)},
          {"trend.json", trend_as_json(trend) + "\n"},
          {"trend.csv", trend_points_csv(trend)},
          {"trend.habits.csv", trend_habits_csv(trend)},
          {"trend.drills.csv", trend_drills_csv(trend)},
          {"trend.svg", as_svg_file(trend_picture(trend))},
          {"trend.html", trend_page(trend)}};
}

std::string shown(const Trend& trend, OutputFormat format) {
  switch (format) {
    case OutputFormat::text:
      return trend_as_text(trend, colour_wanted());
    case OutputFormat::json:
      return trend_as_json(trend) + "\n";
    case OutputFormat::csv:
      return trend_points_csv(trend);
  }
  return {};
}

void write_files(const std::string& folder, const Trend& trend) {
  const std::vector<TrendFile> files = files_of(trend);
  std::vector<std::string> names;
  for (const TrendFile& file : files) names.push_back(file.name);
  batch::OutFolder out(folder, names);
  for (const TrendFile& file : files) out.write(file.name, file.content);
  out.finish();
}

}  // namespace

ExitStatus run_trend(int argc, const char* const* argv) {
  RawTrend raw;
  Arguments arguments("firmus trend",
                      "Weeks of results, of one student or a class: what recurs, what is solved,\n"
                      "what is new, and how the figures change.",
                      "  firmus trend results/week1 results/week2 results/week3\n"
                      "  firmus trend term/ --out term/trend\n"
                      "\n"
                      "Results are the JSON files of \"firmus check --out\" and of \"firmus grade\"; other\n"
                      "files in folders are passed over. Dates are those of --date at the measurement.\n"
                      "\n"
                      "Exit status: 0 done; 1 a result is damaged; 2 the command line is wrong, or\n"
                      "there is no result; 4 the trend could not be written.");
  arguments.positionals("RESULT", "result files, or folders of them", raw.results);
  arguments.option("--out", "DIR", "also write the text, tables, pictures and page there", raw.out);
  arguments.option("--format", "text|json|csv", "what to print (text)", raw.format);
  arguments.flag("--schema", "print the JSON Schema of a trend, then end", raw.schema);
  if (arguments.parse(argc, argv) == ParseOutcome::show_help) return show_help(arguments);
  if (raw.schema) return show(trend_json_schema());
  const TrendPlan plan = resolve(raw);
  require_output();
  const batch::FoundResults found = batch::find_results(plan.results);
  const Trend trend = make_trend(found.takes);
  diagnose(found.damaged);
  diagnose(trend.damaged);
  const bool all_whole = found.damaged.empty() && trend.damaged.empty();
  if (trend.students.empty() && all_whole)
    throw InputError(Problem{{}, "no result is in what was given", "give results of \"firmus check --out\""});
  if (plan.out) write_files(*plan.out, trend);
  if (!trend.students.empty()) put(shown(trend, plan.format));
  flush_output();
  return all_whole ? done : take_not_measured;
}

}  // namespace firmus::cli
