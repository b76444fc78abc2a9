// What the steps of grading share: names of files, and facts that follow from the plan.
#pragma once
#include <string>
#include <vector>

#include "firmus/batch.hpp"

namespace firmus::batch {

/// Path of the recording.
std::string path_of(const GradePlan& plan, const MatchedTake& take);
std::vector<PieceFacts> piece_facts(const GradePlan& plan);

/// Names in the out folder: the files of one take ("results/ana.json" first), of one student, and of the class.
std::vector<std::string> result_file_names(const std::string& stem);
std::vector<std::string> student_file_names(const std::string& student);
std::vector<std::string> class_file_names();
/// Tables in the out folder that the teacher fills in.
inline constexpr const char* whose_name = "private/whose.csv";
inline constexpr const char* overrides_name = "overrides.csv";

}  // namespace firmus::batch
