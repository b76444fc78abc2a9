#include <fmt/format.h>

#include <cmath>

#include "base/base.hpp"
#include "firmus/report.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

/// "week1.flac of 2026-11-03"
std::string earlier_take_in_words(const Since& since) {
  const std::string take = file_of(since.take);
  return since.date ? take + " of " + display_name(*since.date) : take;
}

std::string melody_line(const Result& result) {
  if (!result.melody)
    return fmt::format("none given: nearest notes in {}{}",
                       result.settings.tuning == "equal" ? "equal temperament" : result.settings.tuning + " tuning",
                       result.centre_cents ? "" : fmt::format(", A = {:g}", result.settings.a4_hz.value()));
  const MelodyFacts& melody = *result.melody;
  if (melody.from_take)
    return fmt::format("none given: {} named in {}", counted(melody.written_notes, "note"), melody.key.value_or(""));
  std::string line = melody.title.empty() ? "without a title" : display_name(melody.title);
  if (melody.key) line += ", " + *melody.key;
  return line + ", " + counted(melody.written_notes, "note");
}

void add_doubt(Page& page, const Result& result) {
  if (!result.melody || result.decision == AlignmentDecision::sure) return;
  if (result.melody->from_take)
    return page.entry("Doubt",
                      fmt::format("This may not be in {}: {} of {} lie outside it.", result.melody->key.value_or(""),
                                  result.summary.other_note, counted(result.summary.judged, "note")));
  const std::string match = doubt_in_words(result.alignment_confidence);
  const std::string piece =
      result.melody->title.empty() ? "the melody" : fmt::format("\"{}\"", display_name(result.melody->title));
  const bool other = result.decision == AlignmentDecision::not_this_melody;
  page.entry("Doubt", fmt::format("This {} {} ({}). {}", other ? "does not sound like" : "may not be", piece, match,
                                  other ? "Is it the right recording?" : "Listen before you use the figures below."));
}

std::string reach_of(const Result& result, const Attempt& attempt) {
  for (const NoteResult& note : result.notes)
    if (note.index == attempt.written_to) return "up to " + place_of(result, note);
  return "up to note " + std::to_string(attempt.written_to + 1);
}

void add_tries(Page& page, const Result& result) {
  if (result.attempts.size() < 2) return;
  std::string counts, others;
  for (const Attempt& attempt : result.attempts) {
    const std::string span = fmt::format("{} to {}", clock_time(attempt.from_s), clock_time(attempt.to_s));
    if (attempt.counts) {
      counts = span;
    } else {
      others += fmt::format("{}{}, {}", others.empty() ? "" : "; ", span, reach_of(result, attempt));
    }
  }
  page.entry("Tries",
             fmt::format("{} in this recording. Judged: {}. Left out: {}.", result.attempts.size(), counts, others));
}

/// "good quality: measured to within 2 cents", "38 of 42 notes are clear enough: measured to within 19 cents"
std::string trust_in_words(const PrecisionSummary& trust) {
  const std::string quality = trust.notes == trust.of
                                  ? "good quality"
                                  : fmt::format("{} of {} are clear enough", trust.notes, counted(trust.of, "note"));
  return fmt::format("{}: measured to within {}", quality,
                     counted(std::max(1, static_cast<int>(std::llround(*trust.cents))), "cent"));
}

}  // namespace

std::string doubt_in_words(double alignment_confidence) {
  return fmt::format("{:.0f} % of the intervals match", 100 * alignment_confidence);
}

void add_facts(Page& page, const Result& result) {
  std::string take = display_name(result.take.name);
  if (result.take.duration_s) take += ", " + clock_length(*result.take.duration_s);
  if (result.since) take += "; compared with " + earlier_take_in_words(*result.since);
  page.entry("Take", take);
  page.entry("Melody", melody_line(result));
  add_doubt(page, result);
  for (const RecordingWarning& warning : result.signal_quality.warnings)
    page.entry("Recording", display_name(warning.detail + "; " + warning.advice));
  add_tries(page, result);
}

void add_trust(Page& page, const Result& result) {
  const PrecisionSummary& trust = result.trust;
  if (trust.of == 0 && !result.melody) return;
  if (trust.of == 0) {
    page.entry("Recording", "too poor to judge");
  } else if (trust.notes == 0 || !trust.cents) {
    page.entry("Recording", "too poor to judge");
  } else {
    page.entry("Recording", trust_in_words(trust));
  }
}

void add_care(Page& page) {
  page.entry("Care", teacher_judges);
}

}  // namespace firmus::report
