// The mark of one take, from its table of notes alone, so that it can be computed by hand (see README.md).
#include <algorithm>
#include <cmath>

#include "firmus/grading.hpp"

namespace firmus {
namespace {

constexpr long long shortest_extra_ms = 120;
constexpr double same_cents = 1e-6;  // for rounding errors: in the table 25.1 - 0.1 is 25

bool may_be_left_out(const NoteResult& note) {
  return note.may_be_left_out || note.written_beats == 0.0 || note.status == NoteStatus::optional_left_out;
}
bool is_written(const NoteResult& note) {
  return note.index && note.status != NoteStatus::restart && note.status != NoteStatus::extra;
}

/// As in the table of notes: a length is the difference of two decimal times, which binary fractions are not.
long long milliseconds(double seconds) {
  return std::llround(1000 * seconds);
}

/// Time from the first to the last onset of the written notes sung. Extra notes count only within it: speech, count-ins
/// and tuning before or after the melody cost nothing. Empty (to_s < from_s) when no written note was sung.
struct SungSpan {
  double from_s = 1, to_s = 0;
  bool holds(double time_s) const { return time_s > from_s && time_s < to_s; }
};
SungSpan span_of(const std::vector<NoteResult>& notes) {
  SungSpan span;
  for (const NoteResult& note : notes) {
    if (!is_written(note) || may_be_left_out(note) || note.status != NoteStatus::sung || !note.onset_s) continue;
    if (span.to_s < span.from_s) span = {*note.onset_s, *note.onset_s};
    span.from_s = std::min(span.from_s, *note.onset_s);
    span.to_s = std::max(span.to_s, *note.onset_s);
  }
  return span;
}

class MarkTally {
 public:
  MarkTally(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher)
      : result_(result), rubric_(rubric), teacher_(teacher), span_(span_of(result.notes)) {
    made_.in_band.assign(rubric.bands.size(), 0);
  }

  MarkBreakdown count() {
    for (const NoteResult& note : result_.notes) add(note);
    for (std::size_t band = 0; band < rubric_.bands.size(); ++band)
      made_.points += made_.in_band[band] * rubric_.bands[band].points;
    made_.points +=
        made_.other_note * rubric_.other_note + made_.missing * rubric_.missing + made_.extra * rubric_.extra + given_;
    made_.possible = (made_.judged + made_.missing + by_teacher_) * rubric_.most_points();
    if (made_.possible > 0) made_.percent = std::clamp(100 * made_.points / made_.possible, 0.0, 100.0);
    if (made_.judged > 0) made_.in_tune_share = in_tune_ / static_cast<double>(made_.judged);
    return made_;
  }

 private:
  void add(const NoteResult& note) {
    if (note.status == NoteStatus::extra) return add_extra(note);
    if (!is_written(note) || may_be_left_out(note)) return;
    ++made_.written;
    add_to_run(note);
    if (give(*note.index)) return;
    if (note.status == NoteStatus::missing) {
      ++made_.missing;
    } else if (!note.verdict || *note.verdict == Verdict::unclear) {
      ++made_.unclear;
    } else {
      add_judged(note);
    }
  }

  /// Uses the teacher's points for this note, if there are any, in place of what was measured.
  bool give(int index) {
    for (const TeacherPoints& one : teacher_) {
      if (one.index != index) continue;
      given_ += one.points;
      ++by_teacher_;
      return true;
    }
    return false;
  }

  void add_judged(const NoteResult& note) {
    ++made_.judged;
    if (*note.verdict == Verdict::in_tune) ++in_tune_;
    if (*note.verdict == Verdict::other_note) {
      ++made_.other_note;
      return;
    }
    // By the reference `interval` the first judged note has no error: it counts as 0.
    const double off = std::fabs(error_against(note.errors, result_.settings.reference).value_or(0));
    const double surely_off = off - note.se_cents.value_or(0);
    const auto band = std::find_if(rubric_.bands.begin(), rubric_.bands.end(),
                                   [&](const Band& one) { return surely_off <= one.within_cents + same_cents; });
    if (band == rubric_.bands.end()) {
      ++made_.beyond;
    } else {
      ++made_.in_band[static_cast<std::size_t>(band - rubric_.bands.begin())];
    }
  }

  void add_extra(const NoteResult& note) {
    if (!note.onset_s || !note.end_s || !span_.holds(*note.onset_s)) return;
    if (milliseconds(*note.end_s) - milliseconds(*note.onset_s) >= shortest_extra_ms) ++made_.extra;
  }

  void add_to_run(const NoteResult& note) {
    if (note.verdict == Verdict::in_tune) {
      made_.most_in_a_row = std::max(made_.most_in_a_row, ++run_);
    } else if (note.status == NoteStatus::missing || (note.verdict && *note.verdict != Verdict::unclear)) {
      run_ = 0;
    }
  }

  const Result& result_;
  const Rubric& rubric_;
  std::span<const TeacherPoints> teacher_;
  SungSpan span_;
  MarkBreakdown made_;
  double given_ = 0;
  int by_teacher_ = 0, in_tune_ = 0, run_ = 0;
};

}  // namespace

MarkBreakdown mark_breakdown(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher) {
  return MarkTally(result, rubric, teacher).count();
}

}  // namespace firmus
