// Results as HTML pages. Each page is one file that holds its style, its script and its pictures and fetches nothing
// (its Content-Security-Policy forbids it). Pages are readable in print, without colours and without scripts.
#pragma once
#include <string>
#include <string_view>

#include "firmus/practice.hpp"
#include "firmus/report.hpp"
#include "firmus/result.hpp"
#include "firmus/trend.hpp"

namespace firmus {

/// The page of one take: summary, pictures, all notes, recording quality, cautions. `picture` is the SVG from
/// take_picture(result). `next_command` is shown as the next thing to do; nothing when empty. The row of each written
/// note has the id "row-INDEX" and the data attributes of the group of that note in the picture.
std::string take_page(const Result& result, std::string_view picture, std::string_view next_command);

/// What one student reads about an assignment, in words for a twelve-year-old: one strength, at most two things to work
/// on, the pictures, and the mark last. Holds nothing about other students.
std::string student_page(const StudentReport& report);

/// The teacher's page of an assignment: who handed in, which takes need a listen, errors that most students share,
/// drills done, marks.
std::string class_page(const ClassReport& report);

/// How the results of a student, or of each student of a class, change over time.
std::string trend_page(const Trend& trend);

/// What to practise and why: faults, where they happened, and the drills for each.
std::string practice_page(const Practice& practice);

}  // namespace firmus
