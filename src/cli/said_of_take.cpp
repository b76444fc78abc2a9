#include "said_of_take.hpp"

#include <fmt/format.h>

#include "report/words.hpp"

namespace firmus::cli {
namespace {

/// Nothing judged cannot reach any share.
bool below(const std::optional<double>& percent, const Result& result) {
  return percent && 100 * result.summary.in_tune_share.value_or(-1) < *percent;
}

std::string shortfall(double percent, const Result& result) {
  const auto share = result.summary.in_tune_share;
  const std::string in_tune =
      share ? fmt::format("{:.1f} % of the judged notes are in tune", 100 * *share) : "no note could be judged";
  return fmt::format("{}, {:g} % are required", in_tune, percent);
}

}  // namespace

bool is_other_melody(const Result& result) {
  return result.melody && result.decision == AlignmentDecision::not_this_melody;
}

SaidOfTake said_of(const Result& result, const std::string& name, const std::optional<double>& require_percent,
                   Warnings warnings) {
  SaidOfTake said;
  const auto say = [&](std::string what, std::string remedy) {
    said.lines.push_back(to_line({{name}, std::move(what), std::move(remedy)}));
  };
  if (warnings == Warnings::told)
    for (const RecordingWarning& warning : result.signal_quality.warnings)
      say("warning: " + warning.detail, warning.advice);
  if (result.error) {
    said.status = take_not_measured;
    say(result.error->detail, result.error->advice);
  } else if (is_other_melody(result)) {
    said.status = take_not_measured;
    say("not this melody: " + report::doubt_in_words(result.alignment_confidence),
        "listen to it, or give the melody that was sung");
  } else if (below(require_percent, result)) {
    said.status = below_required;
    say(shortfall(*require_percent, result), "");
  }
  return said;
}

}  // namespace firmus::cli
