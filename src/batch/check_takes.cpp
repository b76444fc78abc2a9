#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <memory>
#include <new>
#include <utility>

#include "base/base.hpp"
#include "firmus/batch.hpp"
#include "firmus/since.hpp"
#include "ordered_parallel.hpp"
#include "out_folder.hpp"
#include "stems.hpp"
#include "take_diagnostics.hpp"
#include "take_files.hpp"

namespace firmus {
namespace batch {
namespace {

struct CheckedTake {
  TakeOutcome outcome;
  std::vector<std::string> files;   ///< contents, in the order of take_file_names
  std::exception_ptr ends_the_run;  ///< an InputError or WriteError that is not about this take alone
};

class TakeChecker {
 public:
  explicit TakeChecker(const CheckOptions& options) : options_(options), measuring_(options.measuring) {
    // Threads go to different takes first, which never wait for each other; the rest work within each take.
    const auto jobs = static_cast<std::size_t>(std::max(1, options.jobs));
    const std::size_t at_a_time = std::clamp<std::size_t>(options.takes.size(), 1, jobs);
    measuring_.threads = static_cast<int>(jobs / at_a_time);
  }

  /// Never throws. Any thread.
  CheckedTake check(const std::string& take) const {
    CheckedTake checked;
    try {
      checked.outcome = {take, measured(take), TakeStatus::passed, {}, {}, {}};
      add_diagnostics(checked.outcome, options_.require_percent);
      render(checked);
    } catch (...) {
      checked.ends_the_run = std::current_exception();
    }
    return checked;
  }

 private:
  Result measured(const std::string& take) const {
    MeasureOptions measuring = measuring_;
    if (measuring.trace_dir) *measuring.trace_dir += "/" + stem_of(take);
    try {
      const Melody* melody = options_.melody ? &*options_.melody : nullptr;
      Result result = measure_take(read_recording(take, options_.reading), melody, measuring);
      if (options_.since && melody && result.decision != AlignmentDecision::not_this_melody)
        result.since = compare_since(*options_.since, result, *melody);
      return result;
    } catch (const TakeError& error) {
      return not_measured(take, error, measuring);
    } catch (const InputError&) {
      throw;
    } catch (const WriteError&) {
      throw;
    } catch (const std::bad_alloc&) {  // says nothing about the take
      throw;
    } catch (const std::exception& error) {  // one bad take never stops the batch
      return not_measured(take,
                          TakeError("failed", fmt::format("could not be measured: {}", error.what()),
                                    "please report it, with the take"),
                          measuring_);
    }
  }

  void render(CheckedTake& checked) const {
    const TakeOutcome& outcome = checked.outcome;
    if (options_.render) checked.outcome.text = options_.render(outcome.name, outcome.result);
    if (!options_.out_folder) return;
    const std::string next = options_.next_step ? options_.next_step(outcome.name, outcome.result) : "";
    checked.files = take_file_contents(outcome.result, next);
  }

  const CheckOptions& options_;
  MeasureOptions measuring_;
};

std::unique_ptr<OutFolder> open_out(const CheckOptions& options) {
  if (!options.out_folder) return nullptr;
  std::vector<std::string> names;
  for (const std::string& take : options.takes)
    for (std::string& name : take_file_names(stem_of(take))) names.push_back(std::move(name));
  return std::make_unique<OutFolder>(*options.out_folder, names);
}

void write_files(OutFolder& out, const CheckedTake& checked) {
  const std::vector<std::string> names = take_file_names(stem_of(checked.outcome.name));
  for (std::size_t i = 0; i < names.size(); ++i) out.write(names[i], checked.files[i]);
}

}  // namespace
}  // namespace batch

std::optional<int> check_takes(const CheckOptions& options, const BatchEvents& events) {
  using namespace batch;
  if (options.out_folder || options.measuring.trace_dir) require_different_stems(options.takes);
  const std::unique_ptr<OutFolder> out = open_out(options);
  if (events.on_start) events.on_start();
  const TakeChecker checker(options);
  OrderedParallel<CheckedTake> takes(
      options.takes.size(), options.jobs, [&](std::size_t i) { return checker.check(options.takes[i]); },
      signals_for(events));
  const auto signal = takes.emit_all([&](std::size_t, CheckedTake checked) {
    if (checked.ends_the_run) std::rethrow_exception(checked.ends_the_run);
    if (out) write_files(*out, checked);
    if (events.on_take) events.on_take(checked.outcome);
  });
  if (out) out->finish();
  if (signal && events.on_interrupt) events.on_interrupt(*signal);
  return signal;
}

}  // namespace firmus
