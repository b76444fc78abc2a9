// One take of an assignment: measured, or taken over from a run before; its files written. Runs on any thread.
#pragma once
#include <exception>
#include <future>
#include <string>
#include <vector>

#include "grade_plan.hpp"
#include "out_folder.hpp"
#include "result_store.hpp"
#include "said_of_take.hpp"

namespace firmus::cli {

/// "results/ana.json" first.
std::vector<std::string> result_names(const std::string& stem);

struct WrittenTake {
  SaidOfTake said;
  std::exception_ptr ends_the_run;  ///< a WriteError, or an InputError that is not about this take alone
  std::future<void> on_disk;        ///< throws WriteError; not valid where nothing had to be written
};

class TakeGrader {
 public:
  TakeGrader(const GradePlan& plan, OutFolder& out, ResultStore& store) : plan_(plan), out_(out), store_(store) {}
  /// Never throws. The files are written aside: who measures does not wait for the disk.
  WrittenTake write(const MatchedTake& take) const;

 private:
  Context context_of(const MatchedTake& take) const;
  std::string key_of(const MatchedTake& take, const std::string& sha256) const;
  std::optional<Result> there_already(const MatchedTake& take, const std::string& key) const;
  Result measured(const MatchedTake& take) const;
  void write_files(const std::string& stem, const std::vector<std::string>& contents, const std::string& key) const;

  const GradePlan& plan_;
  OutFolder& out_;
  ResultStore& store_;
};

/// The whole content of a file of ours; none when it cannot be read.
std::optional<std::string> content_of(const std::string& path);

}  // namespace firmus::cli
