// Results as HTML pages, each a file that needs nothing else: style and pictures are in it, nothing is fetched (a
// Content-Security-Policy forbids it). They read well in print, without colours and without scripts.
#pragma once
#include <string>
#include <string_view>

#include "firmus/practice.hpp"
#include "firmus/report.hpp"
#include "firmus/result.hpp"
#include "firmus/trend.hpp"

namespace firmus {

/// One take, for whoever took it: the summary, the pictures, every note, the recording, a caution. `picture` is what
/// take_picture made of it. Each written note has a row with the id "row-INDEX" and the data of its group in the
/// picture.
std::string take_page(const Result& result, std::string_view picture, std::string_view next_command);

/// ID.html: what one student is told of an assignment, in words for a twelve-year-old: one strength, two things to work
/// on at most, the pictures, the mark last. Nothing of other students.
std::string student_page(const StudentReport& report);

/// class.html: who handed in, which takes need a listen, what most of the class misses, which drills are done, the
/// marks.
std::string class_page(const ClassReport& report);

/// trend.html: how a student, or each of a class, gets on.
std::string trend_page(const Trend& trend);

/// practice.html: what to practise, why, how, and the drills one after another.
std::string practice_page(const Practice& practice);

}  // namespace firmus
