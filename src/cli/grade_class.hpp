// From the saved results of all takes to the pages of each student and the gradebook of the class.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "firmus/report.hpp"
#include "grade_plan.hpp"
#include "out_folder.hpp"

namespace firmus::cli {

/// Files of one student, and of the class.
std::vector<std::string> student_file_names(const std::string& student);
std::vector<std::string> class_file_names();

struct ClassDone {
  Gradebook book;
  ClassReport report;           ///< points into `book`: not copied
  std::string text, json, csv;  ///< class.txt, gradebook.json, gradebook.csv
  std::optional<int> signal;    ///< that came in between
};

/// Writes everything but the results. Throws WriteError.
void write_class(const GradePlan& plan, OutFolder& out, ClassDone& done);

}  // namespace firmus::cli
