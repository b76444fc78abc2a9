#include <fmt/format.h>

#include <cmath>

#include "pitch_change_words.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

std::string reference_in_words(const Settings& settings) {
  switch (settings.reference) {
    case Reference::concert:
      return fmt::format("concert pitch, A = {:g}", settings.a4_hz);
    case Reference::own:
      return "the pitch you settled on";
    case Reference::interval:
      return "the written interval";
  }
  return {};
}

std::string tolerance_in_words(const Settings& settings) {
  return fmt::format("{:g} cents", settings.tolerance_cents);
}

/// "3 flat, 1 sharp, 1 wrong note"
std::string faults_in_words(const Summary& summary, Colour colour) {
  std::string words;
  const auto add = [&](int count, const std::string& text, Tint tint) {
    if (count > 0) words += (words.empty() ? "" : ", ") + painted(text, tint, colour);
  };
  add(summary.flat, fmt::format("{} flat", summary.flat), Tint::flat);
  add(summary.sharp, fmt::format("{} sharp", summary.sharp), Tint::sharp);
  add(summary.other_note, counted(summary.other_note, "wrong note"), Tint::none);
  return words;
}

void add_score(Page& page, const Result& result, Colour colour) {
  const Summary& summary = result.summary;
  const std::string share = fmt::format("{} of {}", summary.in_tune, counted(summary.judged, "note"));
  page.line(painted(share + " in tune", Tint::in_tune, colour) + " (within " + tolerance_in_words(result.settings) +
            " of " + reference_in_words(result.settings) + ")");
  const std::string faults = faults_in_words(summary, colour);
  if (faults.empty()) return;
  const auto off = summary.mean_abs_cents ? std::llround(*summary.mean_abs_cents) : 0;
  const char* of_what = summary.other_note > 0 ? ". Average error of the rest " : ". Average error ";
  page.line(faults + (off > 0 ? of_what + counted(static_cast<int>(off), "cent") : ""));
}

/// A take that changes its key or drifts is told as that: its verdicts are measured from the pitch of each place.
void add_pitch_changes(Page& page, const Result& result) {
  for (const std::string& sentence : pitch_changes_in_words(result)) page.paragraph(sentence);
}

int notes_heard(const Result& result) {
  int heard = 0;
  for (const NoteResult& note : result.notes) heard += note.onset_s ? 1 : 0;
  return heard;
}

std::string names_heard(const Result& result) {
  std::string names;
  for (const NoteResult& note : result.notes)
    if (note.onset_s && (note.written || note.sung))
      names += (names.empty() ? "" : " ") + (note.written ? *note.written : *note.sung);
  return names;
}

void add_without_melody(Page& page, const Result& result) {
  page.line(
      fmt::format("{} found. Give --melody or --key to have them checked.", counted(notes_heard(result), "note")));
  const std::string names = names_heard(result);
  if (names.empty()) return;
  page.gap();
  page.entry("Notes found", names);
}

}  // namespace

ResultStatus result_status_of(const Result& result) {
  if (!result.melody) return ResultStatus::no_melody;
  if (result.decision == AlignmentDecision::not_this_melody) return ResultStatus::not_this_melody;
  if (result.summary.judged == 0) return ResultStatus::nothing_judged;
  const bool enough = result.summary.judged_share.value_or(0) >= least_judged_share;
  return enough && result.decision == AlignmentDecision::sure ? ResultStatus::marked : ResultStatus::needs_a_listen;
}

void add_headline(Page& page, const Result& result, Colour colour) {
  switch (result_status_of(result)) {
    case ResultStatus::no_melody:
      return add_without_melody(page, result);
    case ResultStatus::not_this_melody:
      return page.line("No mark: this seems to be another piece");
    case ResultStatus::nothing_judged:
      return page.line("No mark: no note could be judged. Please listen to it.");
    case ResultStatus::marked:
      add_score(page, result, colour);
      return add_pitch_changes(page, result);
    case ResultStatus::needs_a_listen:
      break;
  }
  add_score(page, result, colour);
  add_pitch_changes(page, result);
  const Summary& summary = result.summary;
  if (summary.judged_share.value_or(0) < least_judged_share) {
    page.paragraph(fmt::format("No mark yet. Please listen: only {} of {} could be judged.", summary.judged,
                               counted(summary.written, "written note")));
  } else {
    page.paragraph(result.melody->from_take ? "Many notes do not fit the key; try another one with --key."
                                            : "No mark yet. Please listen: this may be another piece.");
  }
}

}  // namespace firmus::report
