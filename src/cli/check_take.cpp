#include "check_take.hpp"

#include <fmt/format.h>

#include "base/base.hpp"
#include "firmus/report.hpp"
#include "said_of_take.hpp"
#include "shell_words.hpp"
#include "streams.hpp"
#include "take_files.hpp"
#include "takes.hpp"

namespace firmus::cli {
namespace {

Result measured(const CheckPlan& plan, const std::string& take) {
  MeasureOptions options = plan.measuring;
  if (plan.trace) options.trace_dir = *plan.trace + "/" + stem_of(take);
  try {
    return measure_take(read_recording(take, plan.reading), plan.melody ? &*plan.melody : nullptr, options);
  } catch (const TakeError& error) {
    return not_measured(take, error, options);
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
  std::vector<std::string> contents = take_file_contents(result, next_command(plan, take, result));
  const std::vector<std::string> names = take_file_names(stem_of(take));
  for (std::size_t i = 0; i < names.size(); ++i) checked.files.emplace_back(names[i], std::move(contents[i]));
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
    SaidOfTake said = said_of(result, take, plan.require_percent, plan.quiet ? Warnings::kept : Warnings::told);
    checked.diagnostics = std::move(said.lines);
    checked.status = said.status;
    render(checked, plan, take, result);
  } catch (...) {
    checked.ends_the_run = std::current_exception();
  }
  return checked;
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
