#include "take_diagnostics.hpp"

#include <fmt/format.h>

#include <utility>

#include "report/words.hpp"

namespace firmus::batch {
namespace {

/// With no judged note, no share is reached.
bool is_below(double percent, const Result& result) {
  return 100 * result.summary.in_tune_share.value_or(-1) < percent;
}

std::string shortfall(double percent, const Result& result) {
  const auto share = result.summary.in_tune_share;
  const std::string in_tune =
      share ? fmt::format("{:.1f} % of the judged notes are in tune", 100 * *share) : "no note could be judged";
  return fmt::format("{}, {:g} % are required", in_tune, percent);
}

}  // namespace

void add_diagnostics(TakeOutcome& outcome, const std::optional<double>& require_percent) {
  const Result& result = outcome.result;
  for (const RecordingWarning& warning : result.signal_quality.warnings)
    outcome.warnings.push_back({{outcome.name}, warning.detail, warning.advice});
  const auto fail = [&](TakeStatus status, std::string what, std::string remedy) {
    outcome.status = status;
    outcome.problem = Problem{{outcome.name}, std::move(what), std::move(remedy)};
  };
  if (result.error) {
    fail(TakeStatus::not_measured, result.error->detail, result.error->advice);
  } else if (result.melody && result.decision == AlignmentDecision::not_this_melody) {
    fail(TakeStatus::not_measured, "not this melody: " + report::doubt_in_words(result.alignment_confidence),
         "listen to it, or give the melody that was sung");
  } else if (require_percent && is_below(*require_percent, result)) {
    fail(TakeStatus::below_required, shortfall(*require_percent, result), "");
  }
}

}  // namespace firmus::batch
