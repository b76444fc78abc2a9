// Grades of takes, pieces and students, and the ranks in a class.
#include <algorithm>
#include <cmath>

#include "firmus/grading.hpp"
#include "key_readings.hpp"

namespace firmus {
namespace {

constexpr double full_share = 0.8;  // of the written notes: a take with this share found is full

bool is_other_melody(const Result& result) {
  return result.decision == AlignmentDecision::not_this_melody;
}

/// Why a measured take is not marked; none when it is marked. `made` is what its mark would be made of.
std::optional<NoMark> why_no_mark(const Result& result, const Rubric& rubric, const MarkBreakdown& made) {
  NoMark no_mark;
  no_mark.alignment_confidence = result.alignment_confidence;
  no_mark.judged = result.summary.judged;
  no_mark.written = result.summary.written;
  if (is_other_melody(result)) {
    no_mark.reason = NoMark::Reason::other_melody;
  } else if (result.decision == AlignmentDecision::listen) {
    no_mark.reason = NoMark::Reason::doubtful_melody;
  } else if (no_mark.judged > 0 && result.summary.judged_share.value_or(0) >= rubric.least_judged_share) {
    const auto doubt = studio::doubt_about_key(result, rubric, made);
    if (!doubt) return std::nullopt;
    no_mark.reason = NoMark::Reason::key_in_doubt;
    no_mark.percent_if_changed = doubt->percent_if_changed;
    no_mark.percent_if_not = doubt->percent_if_not;
    no_mark.changed_at_bar = doubt->changed_at_bar;
  } else {
    no_mark.reason = NoMark::Reason::too_few_judged;
  }
  return no_mark;
}

std::vector<TeacherPoints> points_for(const GradingRules& rules, const std::string& student, const std::string& piece) {
  std::vector<TeacherPoints> points;
  for (const Override& one : rules.overrides)
    if (one.index && one.student == student && one.piece == piece) points.push_back({*one.index, one.mark});
  return points;
}

bool is_marked(const TakeGrade& take) {
  return take.status == GradeStatus::marked;
}

/// Indices of the takes that determine the mark. `takes` is not empty. With equal percentages the earlier one is best.
std::vector<std::size_t> counting(const std::vector<TakeGrade>& takes, TriesRule rule) {
  std::vector<std::size_t> marked;
  for (std::size_t i = 0; i < takes.size(); ++i)
    if (is_marked(takes[i])) marked.push_back(i);
  if (rule == TriesRule::mean && !marked.empty()) return marked;
  if (rule == TriesRule::best && !marked.empty())
    return {*std::max_element(marked.begin(), marked.end(), [&](std::size_t a, std::size_t b) {
      return takes[a].made.percent.value_or(0) < takes[b].made.percent.value_or(0);
    })};
  std::optional<std::size_t> last_full, last_measured;
  for (std::size_t i = 0; i < takes.size(); ++i) {
    if (takes[i].status == GradeStatus::not_measured) continue;
    last_measured = i;
    if (takes[i].full) last_full = i;
  }
  if (last_full) return {*last_full};
  if (last_measured) return {*last_measured};
  return {takes.size() - 1};
}

void add_to(MarkBreakdown& sum, const MarkBreakdown& one) {
  if (sum.in_band.empty()) sum.in_band.assign(one.in_band.size(), 0);
  for (std::size_t i = 0; i < one.in_band.size() && i < sum.in_band.size(); ++i) sum.in_band[i] += one.in_band[i];
  sum.written += one.written;
  sum.judged += one.judged;
  sum.beyond += one.beyond;
  sum.other_note += one.other_note;
  sum.missing += one.missing;
  sum.unclear += one.unclear;
  sum.extra += one.extra;
  sum.points += one.points;
  sum.possible += one.possible;
  sum.most_in_a_row = std::max(sum.most_in_a_row, one.most_in_a_row);
}

std::optional<double> mean_percent(const std::vector<const MarkBreakdown*>& made) {
  double sum = 0;
  int count = 0;
  for (const MarkBreakdown* one : made) {
    if (!one->percent) continue;
    sum += *one->percent;
    ++count;
  }
  return count > 0 ? std::optional(sum / count) : std::nullopt;
}

void fill_marks(PieceGrade& piece, bool teacher_gave_points) {
  std::vector<const MarkBreakdown*> made, by_teacher;
  for (TakeGrade& take : piece.takes) {
    if (!take.counts) continue;
    made.push_back(&take.made);
    by_teacher.push_back(&take.by_teacher);
  }
  if (made.size() == 1) {
    piece.made = *made.front();
  } else {
    for (const MarkBreakdown* one : made) add_to(piece.made, *one);
  }
  if (piece.status != GradeStatus::marked) return;
  piece.mark_percent = mean_percent(made);
  piece.made.percent = piece.mark_percent;
  if (teacher_gave_points) piece.teacher_percent = mean_percent(by_teacher);
}

std::optional<PieceDrill> drill_of(const PieceGrade& piece, const std::vector<StudentTakes::OneTake>& takes) {
  std::optional<PieceDrill> drill;
  for (std::size_t i = 0; i < takes.size(); ++i) {
    const auto& progress = takes[i].result.drill;
    if (!progress || !piece.takes[i].counts || !is_marked(piece.takes[i])) continue;
    if (!drill || !drill->done || progress->done) drill = PieceDrill{progress->done, progress->mean_cents};
  }
  return drill;
}

PieceGrade grade_piece(const StudentTakes& takes, std::size_t number, const GradingRules& rules) {
  PieceGrade piece;
  piece.piece = rules.pieces[number].id;
  const std::vector<TeacherPoints> points = points_for(rules, takes.student, piece.piece);
  for (const StudentTakes::OneTake& take : takes.takes[number]) {
    piece.takes.push_back(grade_take(take.result, rules.rubric, points));
    piece.takes.back().take_number = static_cast<int>(piece.takes.size());
    piece.takes.back().stem = take.stem;
  }
  if (!piece.takes.empty()) {
    for (const std::size_t i : counting(piece.takes, rules.attempts)) piece.takes[i].counts = true;
    const auto first = std::find_if(piece.takes.begin(), piece.takes.end(), [](const auto& t) { return t.counts; });
    piece.status = first->status;
    piece.no_mark = first->no_mark;
    fill_marks(piece, !points.empty());
    piece.drill = drill_of(piece, takes.takes[number]);
  }
  for (const Override& one : rules.overrides) {
    if (one.student != takes.student || one.piece != piece.piece) continue;
    if (!one.index) piece.teacher_percent = one.mark;
    if (!one.reason.empty()) piece.teacher_reasons.push_back(one.reason);
  }
  return piece;
}

/// The percentage that the teacher gives to a whole piece; none without one.
std::optional<double> whole_mark(const GradingRules& rules, const std::string& student, const std::string& piece) {
  std::optional<double> mark;
  for (const Override& one : rules.overrides)
    if (!one.index && one.student == student && one.piece == piece) mark = one.mark;
  return mark;
}

/// Adds the points of a piece to the student's round: the mean of the takes that count, so that more takes give no more
/// points. The teacher's points and marks replace the program's.
void add_to_round(StudentGrade& grade, const PieceGrade& piece, const std::optional<double>& whole_percent) {
  double points = 0, possible = 0;
  int takes = 0;
  for (const TakeGrade& take : piece.takes) {
    if (!take.counts) continue;
    points += take.by_teacher.points;
    possible += take.by_teacher.possible;
    ++takes;
  }
  if (takes == 0) return;
  grade.possible += possible / takes;
  grade.points += whole_percent ? *whole_percent / 100 * possible / takes : points / takes;
  grade.most_in_a_row = std::max(grade.most_in_a_row, piece.made.most_in_a_row);
}

/// Mean over the pieces that have a mark, weighted by Piece::weight; none without a mark.
std::optional<double> weighted(const StudentGrade& grade, const GradingRules& rules,
                               std::optional<double> (*mark_of)(const PieceGrade&)) {
  double sum = 0, weight = 0;
  for (std::size_t i = 0; i < grade.pieces.size(); ++i)
    if (const auto mark = mark_of(grade.pieces[i])) {
      sum += *mark * rules.pieces[i].weight;
      weight += rules.pieces[i].weight;
    }
  return weight > 0 ? std::optional(sum / weight) : std::nullopt;
}

/// Sets `status` and `unsettled`: needs_a_listen or else not_measured if a piece without a teacher's mark has this
/// status, else marked if a piece has a mark.
void fill_status(StudentGrade& grade) {
  for (const GradeStatus status : {GradeStatus::needs_a_listen, GradeStatus::not_measured})
    for (std::size_t i = 0; i < grade.pieces.size(); ++i) {
      if (grade.pieces[i].status != status || grade.pieces[i].teacher_percent) continue;
      grade.status = status;
      grade.unsettled = i;
      return;
    }
  if (grade.pieces_marked > 0) grade.status = GradeStatus::marked;
}

}  // namespace

TakeGrade grade_take(const Result& result, const Rubric& rubric, std::span<const TeacherPoints> teacher) {
  TakeGrade take;
  if (result.error) {
    take.no_mark = NoMark{};
    take.no_mark->kind = result.error->kind;
    take.no_mark->detail = result.error->detail;
    take.no_mark->advice = result.error->advice;
    take.made.in_band.assign(rubric.bands.size(), 0);
    take.by_teacher = take.made;
    return take;
  }
  take.full = !is_other_melody(result) && result.matched_share >= full_share;
  take.made = mark_breakdown(result, rubric);
  take.by_teacher = mark_breakdown(result, rubric, teacher);
  if (!is_other_melody(result)) take.pitch_changes = pitch_changes(result);
  take.no_mark = why_no_mark(result, rubric, take.made);
  take.status = take.no_mark ? GradeStatus::needs_a_listen : GradeStatus::marked;
  return take;
}

StudentGrade grade_student(const StudentTakes& takes, const GradingRules& rules) {
  StudentGrade grade;
  grade.student = takes.student;
  for (std::size_t piece = 0; piece < rules.pieces.size(); ++piece)
    grade.pieces.push_back(grade_piece(takes, piece, rules));
  bool teacher = false;
  for (const PieceGrade& piece : grade.pieces) {
    if (piece.final_percent()) ++grade.pieces_marked;
    teacher = teacher || piece.teacher_percent;
    if (piece.final_percent()) add_to_round(grade, piece, whole_mark(rules, takes.student, piece.piece));
  }
  fill_status(grade);
  if (grade.status != GradeStatus::marked) return grade;
  grade.mark_percent = weighted(grade, rules, [](const PieceGrade& piece) { return piece.mark_percent; });
  if (teacher)
    grade.teacher_percent = weighted(grade, rules, [](const PieceGrade& piece) { return piece.final_percent(); });
  if (rules.rubric.pass_percent && grade.final_percent())
    grade.passed = *grade.final_percent() >= *rules.rubric.pass_percent;
  return grade;
}

void give_standings(std::vector<StudentGrade>& students) {
  const auto is_in = [](const StudentGrade& one) { return one.status == GradeStatus::marked && one.possible > 0; };
  // In millionths of a point, so that rounding errors of the sums do not separate equal points.
  const auto counted = [](const StudentGrade& one) { return std::llround(one.points * 1e6); };
  std::vector<long long> points;
  for (const StudentGrade& one : students)
    if (is_in(one)) points.push_back(counted(one));
  std::sort(points.begin(), points.end(), std::greater<>());
  for (StudentGrade& one : students)
    if (is_in(one))
      one.standing =
          1 + static_cast<int>(std::lower_bound(points.begin(), points.end(), counted(one), std::greater<>()) -
                               points.begin());
}

}  // namespace firmus
