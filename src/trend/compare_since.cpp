#include <algorithm>
#include <cmath>
#include <map>
#include <span>

#include "base/statistics.hpp"
#include "base/student_t.hpp"
#include "firmus/habits.hpp"
#include "firmus/since.hpp"
#include "habits/ar1_whitening.hpp"
#include "habits/group_names.hpp"
#include "points.hpp"

namespace firmus::trend {
namespace {

constexpr double since_error_rate = 0.05;
constexpr std::size_t fewest_compared = 3;     // notes; with fewer there is no interval
constexpr double smallest_problem_cents = 10;  // as for habits: less is not heard

/// A written note judged in both takes.
struct ComparedNote {
  int index = 0;
  const NoteResult *then = nullptr, *now = nullptr;
  double own_then = 0, own_now = 0;
  bool scored = false;  ///< sung as another note in neither take
  double own_change() const { return own_now - own_then; }
};

bool is_judged_note(const NoteResult& note) {
  return note.index && note.verdict && *note.verdict != Verdict::unclear && note.errors.own_cents;
}

std::vector<ComparedNote> compared_notes(const Result& earlier, const Result& now) {
  std::map<int, const NoteResult*> then;
  for (const NoteResult& note : earlier.notes)
    if (is_judged_note(note)) then[*note.index] = &note;
  std::vector<ComparedNote> compared;
  for (const NoteResult& note : now.notes) {
    if (!is_judged_note(note) || !then.contains(*note.index)) continue;
    const NoteResult& before = *then[*note.index];
    const bool scored = *before.verdict != Verdict::other_note && *note.verdict != Verdict::other_note;
    compared.push_back({*note.index, &before, &note, *before.errors.own_cents, *note.errors.own_cents, scored});
  }
  return compared;
}

/// Variance of the mean of values at `places` of an AR(1) series, as a multiple of the variance of one value.
double variance_of_mean(std::span<const std::size_t> places, double rho) {
  constexpr double negligible = 1e-6;
  double sum = 0;
  for (std::size_t i = 0; i < places.size(); ++i)
    for (std::size_t k = i; k < places.size(); ++k) {
      const double correlation = std::pow(rho, static_cast<double>(places[k] - places[i]));
      if (correlation < negligible) break;
      sum += k == i ? 1 : 2 * correlation;
    }
  return sum / static_cast<double>(places.size() * places.size());
}

/// Of changes of absolute errors the median over 164 pairs of real takes of one melody is 0.16, of signed ones 0.32.
/// The usual value of errors is the prior for both: the interval then also holds for singers with a larger one.
double autocorrelation_of(std::vector<double> values) {
  const double centre = median(values);
  for (double& value : values) value -= centre;
  return values.size() > 4 ? habits::lag1_autocorrelation(values).rho : habits::usual_autocorrelation;
}

std::pair<double, double> around(double centre, double half) {
  return {centre - half, centre + half};
}

bool excludes_zero(const std::pair<double, double>& interval) {
  return interval.first > 0 || interval.second < 0;
}

void compare_means(Since& since, const Result& earlier, const Result& now, std::span<const ComparedNote> notes) {
  std::vector<double> then, later, changes;
  for (const ComparedNote& note : notes) {
    const auto before = scored_error(earlier, *note.then), after = scored_error(now, *note.now);
    if (!before || !after) continue;
    then.push_back(std::fabs(*before));
    later.push_back(std::fabs(*after));
    changes.push_back(later.back() - then.back());
  }
  since.notes = static_cast<int>(changes.size());
  if (changes.empty()) return;
  since.then_mean_abs_cents = mean_and_sd(then).mean;
  since.now_mean_abs_cents = mean_and_sd(later).mean;
  const MeanAndSd change = mean_and_sd(changes);
  since.change_cents = change.mean;
  if (changes.size() < fewest_compared) return;
  std::vector<std::size_t> places(changes.size());
  for (std::size_t i = 0; i < places.size(); ++i) places[i] = i;
  const double variance = variance_of_mean(places, autocorrelation_of(changes));
  const double df = std::max(1.0, 1 / variance - 1);  // of the effective number of notes
  since.change_ci95_cents =
      around(change.mean, t_quantile(1 - since_error_rate / 2, df) * change.sd * std::sqrt(variance));
  if (excludes_zero(*since.change_ci95_cents))
    since.verdict = change.mean < 0 ? SinceVerdict::better : SinceVerdict::worse;
}

void count_notes(Since& since, std::span<const ComparedNote> notes) {
  for (const ComparedNote& note : notes) {
    const bool then = note.then->verdict == Verdict::in_tune, now = note.now->verdict == Verdict::in_tune;
    since.off_then += !then;
    since.off_then_in_tune_now += !then && now;
    since.in_tune_then += then;
    since.in_tune_then_off_now += then && !now;
  }
}

/// The compared notes of a problem, and how the mean of their errors changed.
struct ProblemChange {
  std::vector<std::size_t> members;
  double then_cents = 0, now_cents = 0;
  std::pair<double, double> ci95;
};

/// The spread is that of the other notes: those of the problem may all have changed alike.
std::optional<ProblemChange> change_of_problem(const HabitRow& row, std::span<const ComparedNote> notes,
                                               std::size_t tests) {
  constexpr std::size_t fewest_members = 2, fewest_others = 6;
  const bool of_wrong_notes = row.group == "substitution";
  ProblemChange problem;
  std::vector<double> others;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    const bool member = std::find(row.indices.begin(), row.indices.end(), notes[i].index) != row.indices.end();
    if (member && (notes[i].scored || of_wrong_notes)) problem.members.push_back(i);
    if (!member && notes[i].scored) others.push_back(notes[i].own_change());
  }
  if (problem.members.size() < fewest_members || others.size() < fewest_others) return std::nullopt;
  const auto count = static_cast<double>(problem.members.size());
  for (const std::size_t i : problem.members) {
    problem.then_cents += notes[i].own_then / count;
    problem.now_cents += notes[i].own_now / count;
  }
  const double variance = variance_of_mean(problem.members, autocorrelation_of(others));
  const double df = static_cast<double>(others.size()) - 1;
  const double t = t_quantile(1 - since_error_rate / 2 / static_cast<double>(tests), df);
  problem.ci95 = around(problem.now_cents - problem.then_cents, t * mean_and_sd(others).sd * std::sqrt(variance));
  return problem;
}

std::vector<const HabitRow*> chronic_rows(const Result& result) {
  std::vector<const HabitRow*> rows;
  for (const HabitRow& row : result.habits)
    if (row.decision == HabitDecision::chronic) rows.push_back(&row);
  return rows;
}

bool has_row_like(std::span<const HabitRow* const> rows, const HabitRow& row) {
  return std::any_of(rows.begin(), rows.end(), [&](const HabitRow* other) {
    return other->group == row.group && other->name == row.name && other->direction == row.direction;
  });
}

/// Problems of one take that the other does not have.
std::vector<SinceFinding> changed_problems(std::span<const HabitRow* const> in_one,
                                           std::span<const HabitRow* const> in_other, std::size_t tests, bool solved,
                                           std::span<const ComparedNote> notes) {
  std::vector<SinceFinding> found;
  for (const HabitRow* row : in_one) {
    const auto change = change_of_problem(*row, notes, tests);
    if (!change || has_row_like(in_other, *row) || !excludes_zero(change->ci95)) continue;
    const double with = solved ? change->then_cents : change->now_cents;
    const double without = solved ? change->now_cents : change->then_cents;
    if (std::fabs(without) >= smallest_problem_cents || std::fabs(without) >= std::fabs(with)) continue;
    SinceFinding finding{row->group,   row->name, row->direction, change->then_cents, change->now_cents,
                         change->ci95, {}};
    for (const std::size_t i : change->members) finding.indices.push_back(notes[i].index);
    found.push_back(std::move(finding));
  }
  return found;
}

/// Sum and sum of squares of the changes of the scored notes, so that one can be left out.
struct ChangeTotals {
  double sum = 0, squares = 0, count = 0;
  void add(double change, double sign = 1) {
    sum += sign * change;
    squares += sign * change * change;
    count += sign;
  }
  double sd() const { return std::sqrt(std::max(0.0, (squares - sum * sum / count) / (count - 1))); }
};

std::string name_of_spot(const Melody& melody, int index) {
  const std::vector<std::vector<habits::GroupName>> names = habits::group_names(melody);
  for (const habits::GroupName& name : names[static_cast<std::size_t>(index)])
    if (name.family == habits::Family::spot) return name.name;
  return {};
}

bool is_in(const std::vector<SinceFinding>& findings, int index) {
  return std::any_of(findings.begin(), findings.end(), [&](const SinceFinding& finding) {
    return std::find(finding.indices.begin(), finding.indices.end(), index) != finding.indices.end();
  });
}

/// Quantile of a note's change in standard deviations of the others: of Student's t with 4 degrees of freedom, scaled
/// to variance 1. Errors have tails as heavy as that (the noise `t4` of the simulations of habits).
double outlier_quantile(double probability) {
  constexpr double df = 4;
  return t_quantile(probability, df) * std::sqrt((df - 2) / df);
}

/// Single notes whose error changed by more than those of the other notes explain, from off to in tune or back.
void add_single_notes(Since& since, const Melody& melody, std::span<const ComparedNote> notes) {
  constexpr double fewest_others = 6;
  ChangeTotals all;
  for (const ComparedNote& note : notes)
    if (note.scored) all.add(note.own_change());
  std::vector<SinceFinding> solved, appeared;
  for (const ComparedNote& note : notes) {
    const bool then = note.then->verdict == Verdict::in_tune, now = note.now->verdict == Verdict::in_tune;
    ChangeTotals others = all;
    if (note.scored) others.add(note.own_change(), -1);
    if (then == now || others.count < fewest_others) continue;
    const double t = outlier_quantile(1 - since_error_rate / 2 / static_cast<double>(notes.size()));
    const auto ci95 = around(note.own_change(), t * others.sd() * std::sqrt(1 + 1 / others.count));
    if (!excludes_zero(ci95) || is_in(now ? since.solved : since.appeared, note.index)) continue;
    (now ? solved : appeared)
        .push_back({"spot", name_of_spot(melody, note.index), {}, note.own_then, note.own_now, ci95, {note.index}});
  }
  since.solved.insert(since.solved.end(), solved.begin(), solved.end());
  since.appeared.insert(since.appeared.end(), appeared.begin(), appeared.end());
}

}  // namespace
}  // namespace firmus::trend

namespace firmus {

Since compare_since(const Result& earlier, const Result& now, const Melody& melody) {
  using namespace trend;
  Since since;
  since.take = earlier.take.name;
  since.sha256 = earlier.take.sha256;
  since.date = earlier.context.date;
  const std::vector<ComparedNote> notes = compared_notes(earlier, now);
  compare_means(since, earlier, now, notes);
  count_notes(since, notes);
  const auto then_rows = chronic_rows(earlier), now_rows = chronic_rows(now);
  const std::size_t tests = then_rows.size() + now_rows.size();
  since.solved = changed_problems(then_rows, now_rows, tests, true, notes);
  since.appeared = changed_problems(now_rows, then_rows, tests, false, notes);
  add_single_notes(since, melody, notes);
  return since;
}

}  // namespace firmus
