#include <fmt/format.h>

#include <cmath>

#include "text_blocks.hpp"

namespace firmus::report {
namespace {

constexpr std::size_t most_findings_told = 2;

/// "2", "0.4": whole cents; a figure that would be rounded to 0 with one decimal.
std::string cents_figure(double cents) {
  const bool tiny = std::fabs(cents) < 0.5 && std::fabs(cents) >= 0.05;
  return tiny ? fmt::format("{:.1f}", cents) : fmt::format("{:.0f}", cents + 0.0);
}

/// "better by 5 (2 to 8)", "no clear change (-6 to +2)"
std::string size_of_change(const Since& since) {
  if (!since.change_ci95_cents) return "too few notes to compare";
  const auto [low, high] = *since.change_ci95_cents;
  switch (since.verdict) {
    case SinceVerdict::better:
      return fmt::format("better by {:.0f} ({} to {})", -*since.change_cents, cents_figure(-high), cents_figure(-low));
    case SinceVerdict::worse:
      return fmt::format("worse by {:.0f} ({} to {})", *since.change_cents, cents_figure(low), cents_figure(high));
    case SinceVerdict::not_clear:
      break;
  }
  return fmt::format("no clear change ({} to {})", signed_cents(low), signed_cents(high));
}

std::string errors_in_words(const Since& since) {
  if (!since.then_mean_abs_cents) return "No note was judged in both takes.";
  return fmt::format("average error {:.0f} cents then, {:.0f} now: {}", *since.then_mean_abs_cents,
                     *since.now_mean_abs_cents, size_of_change(since));
}

std::string place_of_note(const Result& result, int index) {
  for (const NoteResult& note : result.notes)
    if (note.index == index && note.status != NoteStatus::restart) return place_of(result, note);
  return {};
}

/// "rising major sixths (34 cents flat then)", "bar 3 beat 2 (102 cents sharp)"
std::string finding_in_words(const Result& result, const SinceFinding& finding, double cents, std::string_view when) {
  const std::string what = finding.group == "spot" ? place_of_note(result, finding.indices.front())
                                                   : group_in_words(finding.group, finding.name, finding.direction);
  return fmt::format("{} ({}{})", what, cents_off(cents), when);
}

std::string findings_in_words(const Result& result, const std::vector<SinceFinding>& findings, bool solved) {
  std::string words;
  for (std::size_t i = 0; i < std::min(findings.size(), most_findings_told); ++i)
    words += (i > 0 ? ", " : "") + finding_in_words(result, findings[i],
                                                    solved ? findings[i].then_cents : findings[i].now_cents,
                                                    solved && i == 0 ? " then" : "");
  if (findings.size() > most_findings_told) words += fmt::format(" and {} more", findings.size() - most_findings_told);
  return words.empty() ? "nothing for certain" : words;
}

}  // namespace

void add_since(Page& page, const Result& result) {
  if (!result.since) return;
  const Since& since = *result.since;
  page.entry("Since", errors_in_words(since));
  if (!since.then_mean_abs_cents) return;
  std::string solved = findings_in_words(result, since.solved, true);
  if (since.off_then > 0)
    solved += fmt::format("; {} of the {} out of tune then {} in tune", since.off_then_in_tune_now,
                          counted(since.off_then, "note"), since.off_then_in_tune_now == 1 ? "is" : "are");
  page.entry("Solved", solved);
  std::string appeared = findings_in_words(result, since.appeared, false);
  if (since.in_tune_then_off_now > 0)
    appeared += fmt::format("; {} of the {} in tune then {} out of tune", since.in_tune_then_off_now,
                            counted(since.in_tune_then, "note"), since.in_tune_then_off_now == 1 ? "is" : "are");
  page.entry("New", appeared);
}

}  // namespace firmus::report
