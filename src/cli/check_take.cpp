#include "check_take.hpp"

#include <fmt/format.h>

#include "firmus/base.hpp"
#include "firmus/page.hpp"
#include "firmus/picture.hpp"
#include "firmus/report.hpp"
#include "shell_words.hpp"
#include "streams.hpp"
#include "takes.hpp"

namespace firmus::cli {
namespace {

Result measured(const CheckPlan& plan, const std::string& take) {
  MeasureOptions options = plan.measuring;
  if (plan.trace) options.trace_dir = *plan.trace + "/" + stem_of(take);
  try {
    return measure_take(read_take(take, plan.reading), plan.melody ? &*plan.melody : nullptr, options);
  } catch (const TakeError& error) {
    return not_measured(take, error, options);
  }
}

bool is_other_melody(const Result& result) {
  return result.melody && result.decision == AlignmentDecision::not_this_melody;
}

/// Nothing judged cannot reach any share.
bool below(const CheckPlan& plan, const Result& result) {
  return plan.require_percent && 100 * result.summary.in_tune_share.value_or(-1) < *plan.require_percent;
}

std::string shortfall(const CheckPlan& plan, const Result& result) {
  const auto share = result.summary.in_tune_share;
  const std::string in_tune =
      share ? fmt::format("{:.1f} % of the judged notes are in tune", 100 * *share) : "no note could be judged";
  return fmt::format("{}, {:g} % are required", in_tune, *plan.require_percent);
}

void judge(CheckedTake& checked, const CheckPlan& plan, const std::string& take, const Result& result) {
  const auto say = [&](std::string what, std::string remedy) {
    checked.diagnostics.push_back(to_line({{take}, std::move(what), std::move(remedy)}));
  };
  if (!plan.quiet)
    for (const RecordingWarning& warning : result.recording.warnings) say("warning: " + warning.detail, warning.advice);
  if (result.error) {
    checked.status = take_not_measured;
    say(result.error->detail, result.error->advice);
  } else if (is_other_melody(result)) {
    checked.status = take_not_measured;
    say("not this melody: " + doubt_in_words(result), "listen to it, or give the melody that was sung");
  } else if (below(plan, result)) {
    checked.status = below_required;
    say(shortfall(plan, result), "");
  }
}

std::string printed(const CheckPlan& plan, const std::string& take, const Result& result) {
  switch (plan.format) {
    case Format::json:
      return as_json(result) + "\n";
    case Format::csv:
      return notes_csv_rows(result);
    case Format::text:
      return as_text(result, colour_wanted(), next_command(plan, take, result));
  }
  return {};
}

void render(CheckedTake& checked, const CheckPlan& plan, const std::string& take, const Result& result) {
  checked.output = printed(plan, take, result);
  if (!plan.out) return;
  const std::string next = next_command(plan, take, result), text = as_text(result, Colour::never, next);
  const std::string picture = take_picture(result);
  const std::vector<std::string> contents{as_json(result) + "\n", notes_csv_header() + notes_csv_rows(result),
                                          habits_csv(result),     text,
                                          as_svg_file(picture),   take_page(result, picture, next)};
  const std::vector<std::string> names = file_names(stem_of(take));
  for (std::size_t i = 0; i < names.size(); ++i) checked.files.emplace_back(names[i], contents[i]);
}

}  // namespace

CheckedTake check_take(const CheckPlan& plan, const std::string& take) {
  CheckedTake checked;
  try {
    Result result;
    try {
      result = measured(plan, take);
    } catch (const InputError&) {
      throw;
    } catch (const WriteError&) {
      throw;
    } catch (const std::exception& error) {  // one bad take never stops the batch
      result = not_measured(take,
                            TakeError("failed", fmt::format("could not be measured: {}", error.what()),
                                      "please report it, with the take"),
                            plan.measuring);
    }
    judge(checked, plan, take, result);
    render(checked, plan, take, result);
  } catch (...) {
    checked.ends_the_run = std::current_exception();
  }
  return checked;
}

std::vector<std::string> file_names(const std::string& stem) {
  return {stem + ".json", stem + ".notes.csv", stem + ".habits.csv", stem + ".txt", stem + ".svg", stem + ".html"};
}

std::string next_command(const CheckPlan& plan, const std::string& take, const Result& result) {
  if (result.error) return {};
  const std::string check = "firmus check ";
  const std::string name = take == "-" ? "TAKE" : shell_path(take);
  if (!plan.melody_path) return check + name + " --melody FILE";
  if (is_other_melody(result)) return check + name;
  const std::string with_melody = " --melody " + shell_path(*plan.melody_path);
  if (!plan.out) return check + name + with_melody + " --out results";
  return check + "NEXT_TAKE" + with_melody + " --out " + shell_path(*plan.out);
}

}  // namespace firmus::cli
