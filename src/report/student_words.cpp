// The advice to a student: one strength and at most two things to work on, in words for a twelve-year-old.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bar_words.hpp"
#include "firmus/report.hpp"
#include "report/mark_words.hpp"
#include "report/pitch_change_words.hpp"
#include "report/words.hpp"

namespace firmus::report {
namespace {

constexpr std::size_t most_to_work_on = 2;

/// A take that counts and is marked.
struct GoodTake {
  const Result* result;
  const Melody* melody;
  std::string piece;  ///< title; empty when the assignment has one piece
};

std::string in_piece(const GoodTake& take) {
  return take.piece.empty() ? "" : " in " + take.piece;
}

struct RunInTune {
  int notes = 0;
  const NoteResult *first = nullptr, *last = nullptr;
};

RunInTune longest_run(const Result& result) {
  RunInTune run, longest;
  for (const NoteResult& note : result.notes) {
    if (!note.index || note.status == NoteStatus::restart) continue;
    if (note.verdict == Verdict::in_tune) {
      run = {run.notes + 1, run.first ? run.first : &note, &note};
      if (run.notes > longest.notes) longest = run;
    } else if (is_judged(note) || note.status == NoteStatus::missing) {
      run = {};
    }
  }
  return longest;
}

bool sinks_or_rises(const Result& result) {
  return result.key_segments.size() > 1 ||
         std::any_of(result.key_segments.begin(), result.key_segments.end(),
                     [](const KeySegment& key_segment) { return key_segment.drift_significant; });
}

std::string strength_of(const std::vector<GoodTake>& takes) {
  if (takes.empty()) return {};
  constexpr double mostly = 0.8;
  constexpr int worth_a_word = 5;
  const GoodTake& best = *std::max_element(takes.begin(), takes.end(), [](const GoodTake& a, const GoodTake& b) {
    return a.result->summary.in_tune_share.value_or(0) < b.result->summary.in_tune_share.value_or(0);
  });
  const Result& result = *best.result;
  const Summary& summary = result.summary;
  if (summary.in_tune_share.value_or(0) >= mostly)
    return fmt::format("{} of {} were in tune{}.", summary.in_tune, counted(summary.judged, "note"), in_piece(best));
  const RunInTune run = longest_run(result);
  if (run.notes >= worth_a_word)
    return fmt::format("{} in a row were in tune{}, from {} to {}.", counted(run.notes, "note"), in_piece(best),
                       place_of(result, *run.first), place_of(result, *run.last));
  if (summary.missing == 0)
    return fmt::format("You went through the whole piece{} without leaving anything out.", in_piece(best));
  if (!sinks_or_rises(result))
    return fmt::format("Your pitch{} stayed where it was from the beginning to the end.", in_piece(best));
  return fmt::format("{} of {}{} {} in tune already.", summary.in_tune, counted(summary.judged, "note"), in_piece(best),
                     summary.in_tune == 1 ? "was" : "were");
}

/// The direction to aim in, and how to check it.
std::string advice_for(const HabitRow& row) {
  const std::string way = row.mean_cents < 0 ? "higher" : "lower";
  if (row.group == "interval")
    return fmt::format(
        "Go slowly from the first note to the second, aim a little {} for the second, and check it against the piano "
        "before moving on.",
        way);
  return fmt::format("Sustain each one against the same note on the piano and aim a little {}.", way);
}

std::string work_on_habit(const HabitRow& row, const std::string& where) {
  if (is_substitution(row))
    return fmt::format(
        "{}. Play both notes one after the other, hear the difference, then sing or play the written one.",
        habit_in_words(row, where));
  return sentence_case(habit_in_words(row, where)) + ". " + advice_for(row);
}

/// Adds chronic habits only: those that are only suggestive are for the teacher.
void add_habits(const std::vector<GoodTake>& takes, std::vector<std::string>& work_on) {
  std::vector<HabitTake> habit_takes;
  for (const GoodTake& take : takes) habit_takes.push_back({take.melody, take.result->notes});
  if (habit_takes.empty()) return;
  for (const SharedHabit& habit : find_shared_habits(habit_takes)) {
    if (habit.row.decision != HabitDecision::chronic || work_on.size() == most_to_work_on) continue;
    const std::size_t take = habit.places.front().take;
    std::string where = bars_in_words(*takes[take].melody, indices_in(habit, take));
    if (takes.size() > 1) where = takes[take].piece.empty() ? where : takes[take].piece + ", " + where;
    work_on.push_back(work_on_habit(habit.row, where));
  }
}

/// A change of key, or a drift beyond the tolerance: first of all, since it moves every note after it.
void add_pitch_changes(const GoodTake& take, std::vector<std::string>& work_on) {
  const std::vector<std::string> sentences = pitch_changes_in_words(*take.result);
  if (sentences.empty() || work_on.size() == most_to_work_on) return;
  work_on.push_back(fmt::format("{}{} After each phrase, check your note against the piano before you go on.",
                                take.piece.empty() ? "" : take.piece + ": ", fmt::join(sentences, " ")));
}

void add_missing(const GoodTake& take, std::vector<std::string>& work_on) {
  constexpr double worth_a_word = 0.1;
  const Summary& summary = take.result->summary;
  if (work_on.size() == most_to_work_on || summary.missing <= worth_a_word * summary.written) return;
  work_on.push_back(fmt::format("{} of {} were left out{}. Learn those places slowly before you go on.",
                                summary.missing, counted(summary.written, "note"), in_piece(take)));
}

void add_furthest(const GoodTake& take, std::vector<std::string>& work_on) {
  if (work_on.size() == most_to_work_on) return;
  const NoteResult* furthest = nullptr;
  double most = 0;
  for (const NoteResult& note : take.result->notes) {
    const auto error = error_of(*take.result, note);
    if (!is_judged(note) || note.verdict == Verdict::in_tune || note.verdict == Verdict::other_note || !error) continue;
    if (std::fabs(*error) <= most) continue;
    most = std::fabs(*error);
    furthest = &note;
  }
  if (!furthest) return;
  std::string text =
      fmt::format("The note most out of tune{} was {} at {}: {}.", in_piece(take), furthest->written.value_or("a note"),
                  place_of(*take.result, *furthest), cents_off(*error_of(*take.result, *furthest)));
  if (furthest->onset_s) text += " Listen to it at " + clock_time(*furthest->onset_s) + ".";
  work_on.push_back(std::move(text));
}

void add_wrong_notes(const GoodTake& take, std::vector<std::string>& work_on) {
  if (work_on.size() == most_to_work_on) return;
  std::vector<int> wrong;
  for (const NoteResult& note : take.result->notes)
    if (note.index && !note.may_be_left_out && note.verdict == Verdict::other_note) wrong.push_back(*note.index);
  if (wrong.empty()) return;
  work_on.push_back(fmt::format("{}{} ({}). Play the tune there slowly on an instrument and sing it after.",
                                counted(static_cast<int>(wrong.size()), "wrong note"), in_piece(take),
                                bars_in_words(*take.melody, wrong)));
}

}  // namespace
}  // namespace firmus::report

namespace firmus {
using namespace report;

StudentReport report_student(const StudentTakes& takes, const StudentGrade& grade, const Gradebook& book,
                             std::span<const Melody> melodies) {
  StudentReport report;
  report.book = &book;
  report.grade = &grade;
  std::vector<GoodTake> good;
  for (const bool counting : {true, false})
    for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece)
      for (std::size_t i = 0; i < grade.pieces[piece].takes.size(); ++i) {
        const TakeGrade& take = grade.pieces[piece].takes[i];
        if (take.counts != counting) continue;
        const Result& result = takes.takes[piece][i].result;
        report.takes.push_back({grade.pieces[piece].piece, book.pieces[piece].title, &take, &result, {}});
        if (counting && take.status == GradeStatus::marked)
          good.push_back({&result, &melodies[piece], book.pieces.size() > 1 ? book.pieces[piece].title : ""});
      }
  add_unmarked(report);
  report.strength = strength_of(good);
  for (const GoodTake& take : good) add_pitch_changes(take, report.work_on);
  add_habits(good, report.work_on);
  for (const GoodTake& take : good) add_missing(take, report.work_on);
  for (const GoodTake& take : good) add_wrong_notes(take, report.work_on);
  for (const GoodTake& take : good) add_furthest(take, report.work_on);
  return report;
}

}  // namespace firmus
