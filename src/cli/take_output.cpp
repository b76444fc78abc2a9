#include "take_output.hpp"

#include "base/system/signals.hpp"

namespace firmus::cli {
namespace {

ExitStatus status_of(const TakeOutcome& outcome) {
  switch (outcome.status) {
    case TakeStatus::passed:
      return done;
    case TakeStatus::below_required:
      return below_required;
    case TakeStatus::not_measured:
      return take_not_measured;
  }
  return done;
}

}  // namespace

void TakeOutput::report(const TakeOutcome& outcome) {
  progress_.clear();
  if (warnings_ == Warnings::shown)
    for (const Problem& warning : outcome.warnings) warn(warning);
  if (outcome.problem) diagnose(to_line(*outcome.problem));
  status_ = first_of(status_, status_of(outcome));
  progress_.show(++finished_);
}

void TakeOutput::end_by(int signal) {
  progress_.clear();
  flush_output();
  system::end_by_signal(signal);
}

}  // namespace firmus::cli
