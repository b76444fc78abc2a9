#include "judge.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace firmus::truth {
namespace {

constexpr double same_attempt_s = 0.3;  // tolerance of the begin and end of an attempt, and
constexpr int same_try_notes = 1;       // of its first and last note

bool near(const NoteResult& note, double onset_s) {
  return note.onset_s && std::abs(*note.onset_s - onset_s) <= onset_right_s;
}

const NoteResult* result_of(const Result& result, int index, NoteStatus status) {
  for (const NoteResult& note : result.notes)
    if (note.index == index && note.status == status) return &note;
  return nullptr;
}

std::string told(const Result& result, int index) {
  for (const NoteResult& note : result.notes)
    if (note.index == index && note.status != NoteStatus::restart)
      return fmt::format("{}{}", to_string(note.status), note.onset_s ? fmt::format(" at {:.3f}", *note.onset_s) : "");
  return "nothing";
}

void judge_pitch(Score& score, const TrueNote& truth, const NoteResult& note, const std::string& id) {
  if (!note.sung_hz) return;
  const double off = std::abs(1200 * std::log2(*note.sung_hz / truth.hz));
  ++score.with_pitch;
  score.octave_off += off > 600 ? 1 : 0;
  score.in_interval += note.se_cents && off <= 1.96 * *note.se_cents ? 1 : 0;
  score.cents_off.push_back(off);
  if (note.se_cents) score.reach_cents.push_back(1.96 * *note.se_cents);
  if (off > 50 || (note.se_cents && off > 4 * *note.se_cents))
    score.wrong.push_back(fmt::format("{}: note {} at {:.2f} to {:.2f}: pitch {:.1f} cents off, standard error {:.2f}",
                                      id, *truth.written, truth.onset_s, truth.end_s,
                                      1200 * std::log2(*note.sung_hz / truth.hz), note.se_cents.value_or(0)));
}

/// Errors of a note: id,written,length_s,onset_ms,end_ms,cents,se_cents.
std::string row_of(const TrueNote& truth, const NoteResult& note, const std::string& id) {
  const auto cell = [](std::optional<double> value) { return value ? fmt::format("{:.2f}", *value) : std::string(); };
  std::optional<double> end_ms, cents;
  if (note.end_s) end_ms = (*note.end_s - truth.end_s) * 1000;
  if (note.sung_hz) cents = 1200 * std::log2(*note.sung_hz / truth.hz);
  return fmt::format("{},{},{:.3f},{:.1f},{},{},{}\n", id, *truth.written, truth.end_s - truth.onset_s,
                     (*note.onset_s - truth.onset_s) * 1000, cell(end_ms), cell(cents), cell(note.se_cents));
}

void judge_sung(Score& score, const TrueNote& truth, const Result& result, const std::string& id) {
  const NoteResult* note = result_of(result, *truth.written, NoteStatus::sung);
  if (note && near(*note, truth.onset_s)) {
    ++score.right;
    const double off_s = *note->onset_s - truth.onset_s;
    score.onsets_off_s.push_back(std::abs(off_s));
    if (std::abs(off_s) > 0.05)
      score.wrong.push_back(
          fmt::format("{}: note {} at {:.3f}: onset {:+.0f} ms", id, *truth.written, truth.onset_s, off_s * 1000));
    judge_pitch(score, truth, *note, id);
    score.notes_csv += row_of(truth, *note, id);
    return;
  }
  if (result_of(result, *truth.written, NoteStatus::missing)) ++score.called_missing;
  score.wrong.push_back(fmt::format("{}: NOTE {} sung at {:.3f}, said: {}", id, *truth.written, truth.onset_s,
                                    told(result, *truth.written)));
}

/// Said to be missing. One that the note before was held through may also be `joined`: it cannot be told from one that
/// was sung without a dip.
bool is_said_left_out(const TruthTake& take, const Result& result, int index) {
  if (result_of(result, index, NoteStatus::missing)) return true;
  const NoteResult* sung = result_of(result, index, NoteStatus::sung);
  return sung && sung->unclear_reason == UnclearReason::joined &&
         std::ranges::find(take.held_over, index) != take.held_over.end();
}

void judge_left_out(Score& score, const TruthTake& take, const Result& result) {
  for (const WrittenNote& written : take.melody.notes) {
    const auto sung = std::ranges::any_of(take.notes, [&](const TrueNote& note) {
      return note.status == NoteStatus::sung && note.written == written.index;
    });
    if (sung) continue;
    const bool said = is_said_left_out(take, result, written.index);
    ++score.left_out;
    score.left_out_said += said ? 1 : 0;
    score.right += said ? 1 : 0;
    if (!said)
      score.wrong.push_back(
          fmt::format("{}: NOTE {} left out, said: {}", take.id, written.index, told(result, written.index)));
  }
}

void judge_restarts(Score& score, const TruthTake& take, const Result& result) {
  for (const TrueNote& truth : take.notes) {
    if (truth.status != NoteStatus::restart) continue;
    ++score.restarts;
    const bool named = std::ranges::any_of(result.notes, [&](const NoteResult& note) {
      return note.status == NoteStatus::restart && near(note, truth.onset_s);
    });
    score.restarts_named += named ? 1 : 0;
    if (!named)
      score.wrong.push_back(fmt::format("{}: note {} at {:.3f} is no restart", take.id, *truth.written, truth.onset_s));
  }
}

void count_extras(Score& score, const TruthTake& take, const Result& result) {
  for (const NoteResult& note : result.notes) {
    if (note.status != NoteStatus::extra) continue;
    const bool true_extra = std::ranges::any_of(take.notes, [&](const TrueNote& truth) {
      return truth.status != NoteStatus::sung && near(note, truth.onset_s);
    });
    if (true_extra) continue;
    ++score.extras;
    score.wrong.push_back(fmt::format("{}: extra at {:.3f}", take.id, note.onset_s.value_or(0)));
  }
}

bool tries_as_they_were(const TruthTake& take, const Result& result) {
  if (take.attempts.size() != result.attempts.size()) return false;
  for (std::size_t i = 0; i < take.attempts.size(); ++i) {
    const TrueAttempt& truth = take.attempts[i];
    const Attempt& said = result.attempts[i];
    if (std::abs(truth.from_s - said.from_s) > same_attempt_s || std::abs(truth.to_s - said.to_s) > same_attempt_s ||
        std::abs(truth.written_from - said.written_from) > same_try_notes ||
        std::abs(truth.written_to - said.written_to) > same_try_notes)
      return false;
  }
  return true;
}

void append(std::vector<double>& to, const std::vector<double>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

}  // namespace

Score judge(const TruthTake& take, const Result& result) {
  Score score;
  score.takes = 1;
  score.written = static_cast<int>(take.melody.notes.size());
  score.warned = result.error || result.decision != AlignmentDecision::sure || !result.signal_quality.warnings.empty();
  if (result.error) {
    score.wrong.push_back(fmt::format("{}: not measured: {}", take.id, result.error->detail));
    return score;
  }
  score.measured = 1;
  score.sure = result.decision == AlignmentDecision::sure ? 1 : 0;
  for (const TrueNote& truth : take.notes)
    if (truth.status == NoteStatus::sung && truth.written) judge_sung(score, truth, result, take.id);
  judge_left_out(score, take, result);
  if (is_trusted(result)) score.wrong_while_sure = wrong_verdicts(take, result, score.wrong);
  judge_restarts(score, take, result);
  count_extras(score, take, result);
  score.tries_right = tries_as_they_were(take, result) ? 1 : 0;
  if (score.tries_right == 0) {
    std::string attempts;
    for (const Attempt& said : result.attempts)
      attempts +=
          fmt::format(" {:.1f}-{:.1f} s notes {}-{}", said.from_s, said.to_s, said.written_from, said.written_to);
    score.wrong.push_back(fmt::format("{}: {} tries, said:{}", take.id, take.attempts.size(), attempts));
  }
  return score;
}

void add(Score& sum, const Score& one) {
  sum.takes += one.takes;
  sum.measured += one.measured;
  sum.sure += one.sure;
  sum.written += one.written;
  sum.right += one.right;
  sum.called_missing += one.called_missing;
  sum.left_out += one.left_out;
  sum.left_out_said += one.left_out_said;
  sum.wrong_while_sure += one.wrong_while_sure;
  sum.warned += one.warned;
  sum.extras += one.extras;
  sum.restarts += one.restarts;
  sum.restarts_named += one.restarts_named;
  sum.tries_right += one.tries_right;
  sum.with_pitch += one.with_pitch;
  sum.octave_off += one.octave_off;
  sum.in_interval += one.in_interval;
  append(sum.cents_off, one.cents_off);
  append(sum.reach_cents, one.reach_cents);
  append(sum.onsets_off_s, one.onsets_off_s);
  sum.notes_csv += one.notes_csv;
  sum.wrong.insert(sum.wrong.end(), one.wrong.begin(), one.wrong.end());
}

std::optional<double> quantile(std::vector<double> values, double share) {
  if (values.empty()) return std::nullopt;
  std::ranges::sort(values);
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

}  // namespace firmus::truth
