#include <algorithm>
#include <cmath>

#include "assemble.hpp"
#include "base/statistics.hpp"

namespace firmus::take {

Verdict verdict_of(double error_cents, double se_cents, double tolerance_cents) {
  if (std::abs(error_cents) - se_cents <= tolerance_cents) return Verdict::in_tune;
  return error_cents > 0 ? Verdict::sharp : Verdict::flat;
}

Result describe_take(const Recording& take, const MeasureOptions& options) {
  Result result;
  result.settings = options.settings;
  result.context = options.context;
  result.take.name = take.name;
  if (!take.sha256.empty()) result.take.sha256 = take.sha256;
  result.take.sample_rate_hz = take.sample_rate_hz;
  result.take.channels = take.channels;
  result.take.duration_s = take.duration_s;
  result.signal_quality = take.signal_quality;
  return result;
}

namespace {

void fill_errors(Summary& summary, const std::vector<double>& errors) {
  if (errors.empty()) return;
  const MeanAndSd found = mean_and_sd(errors);
  double absolute = 0;
  for (const double error : errors) absolute += std::abs(error);
  summary.accuracy_cents = found.mean;
  summary.mean_abs_cents = absolute / static_cast<double>(errors.size());
  if (errors.size() > 1) summary.precision_cents = found.sd;
}

PrecisionSummary precision_of(const std::vector<NoteResult>& notes) {
  constexpr double nine_in_ten = 0.9, half_width = 1.96;  // of a 95 % interval, in standard errors
  PrecisionSummary precision;
  std::vector<double> widths;
  // With another melody no note counts as sung: then all notes are used.
  const bool any_sung = std::ranges::any_of(
      notes, [](const NoteResult& note) { return note.onset_s && note.status == NoteStatus::sung; });
  for (const auto& note : notes) {
    if (!note.onset_s || note.may_be_left_out || (any_sung && note.status != NoteStatus::sung)) continue;
    ++precision.of;
    if (!note.se_cents || note.unclear_reason) continue;
    ++precision.notes;
    widths.push_back(half_width * *note.se_cents);
  }
  if (widths.empty()) return precision;
  std::ranges::sort(widths);
  precision.cents = widths[static_cast<std::size_t>(nine_in_ten * static_cast<double>(widths.size() - 1))];
  return precision;
}

}  // namespace

void summarise(Result& result, bool has_melody) {
  Summary& summary = result.summary;
  std::vector<double> errors;
  for (const auto& note : result.notes) {
    if (note.may_be_left_out) continue;
    summary.written += has_melody && note.index.has_value();
    summary.missing += note.status == NoteStatus::missing;
    summary.extra += note.status == NoteStatus::extra;
    if (!note.verdict) continue;
    summary.in_tune += *note.verdict == Verdict::in_tune;
    summary.sharp += *note.verdict == Verdict::sharp;
    summary.flat += *note.verdict == Verdict::flat;
    summary.other_note += *note.verdict == Verdict::other_note;
    summary.unclear += *note.verdict == Verdict::unclear;
    const auto error = error_against(note.errors, result.settings.reference);
    if (*note.verdict != Verdict::unclear && *note.verdict != Verdict::other_note && error) errors.push_back(*error);
  }
  summary.judged = summary.in_tune + summary.sharp + summary.flat + summary.other_note;
  if (summary.judged > 0) summary.in_tune_share = summary.in_tune / static_cast<double>(summary.judged);
  if (summary.written > 0) summary.judged_share = summary.judged / static_cast<double>(summary.written);
  fill_errors(summary, errors);
  result.trust = precision_of(result.notes);
}

}  // namespace firmus::take
