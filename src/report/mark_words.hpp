// Marks, and reasons for their absence, in words for students and teachers.
#pragma once
#include <cstddef>
#include <optional>
#include <string>

#include "firmus/report.hpp"

namespace firmus::report {

/// "87.5 %", "90 %"; empty without a value.
std::string percent_words(const std::optional<double>& percent);

/// "7.5 of 9"
std::string points_words(double points, double possible);

/// "1 point for a note within 25 cents, 0.5 points for a note within 50 cents, -1 point for a missing note"
std::string rubric_words(const Rubric& rubric);

/// "36 of 41 points: 34 notes within 25 cents, 4 notes within 50 cents, 2 further off, 1 missing"
std::string made_words(const Rubric& rubric, const MarkBreakdown& made);

/// "flat on rising major sixths: done by 3 of 5 students". The piece must be a drill.
std::string drill_count_words(const Gradebook& book, std::size_t piece);

/// "done, 5 cents flat", "not yet, 30 cents flat", "not handed in". The piece must be a drill.
std::string drill_state_words(const PieceGrade& piece);

/// Why a take or a piece has no mark, and what to do about it; empty when it has one.
std::string why_words(const std::optional<NoMark>& no_mark);
std::string advice_words(const std::optional<NoMark>& no_mark);
/// Why a student has no mark: the reason of the unsettled piece, with its id when there are several pieces.
std::string why_words(const StudentGrade& grade);

/// Fills `to_do` and `by_teacher` of a report that has `grade` and `book`.
void add_unmarked(StudentReport& report);
/// The teacher's mark of a piece and the reasons, to the student; empty without one.
std::string teachers_mark_words(const PieceGrade& piece, const std::string& title);

/// Students whose takes that count change key or drift, a sentence each: "bo: You went up a semitone at bar 9."
std::vector<std::string> class_pitch_changes_in_words(const ClassReport& of_class);
/// "flat on rising major sixths: 27 cents, 18 of 22 takes (bars 3, 7)"
std::string class_habit_words(const ClassReport& report, const ClassHabit& habit);

}  // namespace firmus::report
