#include "grade_parts.hpp"

#include "take_files.hpp"

namespace firmus::batch {

std::string path_of(const GradePlan& plan, const MatchedTake& take) {
  return plan.takes_folder + "/" + plan.names[take.file];
}

std::vector<PieceFacts> piece_facts(const GradePlan& plan) {
  std::vector<PieceFacts> facts;
  for (std::size_t i = 0; i < plan.melodies.size(); ++i) {
    const Piece& piece = plan.rules.pieces[i];
    facts.push_back({piece.id, plan.melodies[i].title, piece.weight, plan.melodies[i].drill});
  }
  return facts;
}

std::vector<std::string> result_file_names(const std::string& stem) {
  return take_file_names("results/" + stem);
}

std::vector<std::string> student_file_names(const std::string& student) {
  return {student + ".txt", student + ".html"};
}

std::vector<std::string> class_file_names() {
  return {"class.txt", "class.html",   "gradebook.csv",       "gradebook.json",
          "marks.csv", "failures.csv", "private/sources.csv", "private/send.csv"};
}

}  // namespace firmus::batch
