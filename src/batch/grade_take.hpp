// One take of an assignment: measured, or its result of an earlier run used again; its files written.
#pragma once
#include <exception>
#include <future>
#include <optional>
#include <string>
#include <vector>

#include "firmus/batch.hpp"
#include "out_folder.hpp"
#include "result_store.hpp"

namespace firmus::batch {

struct GradedTake {
  TakeOutcome outcome;
  std::exception_ptr ends_the_run;  ///< a WriteError, or an InputError that is not about this take alone
  std::future<void> write;          ///< throws WriteError; not valid where nothing has to be written
};

class TakeGrader {
 public:
  TakeGrader(const GradePlan& plan, OutFolder& out, ResultStore& store) : plan_(plan), out_(out), store_(store) {}
  /// Never throws. Any thread. Returns when the take is measured; its files are written meanwhile on another thread.
  GradedTake grade(const MatchedTake& take) const;

 private:
  Context context_of(const MatchedTake& take) const;
  std::string key_of(const MatchedTake& take, const std::string& sha256) const;
  std::optional<Result> cached_result(const MatchedTake& take, const std::string& key) const;
  Result measured(const MatchedTake& take) const;
  void write_files(const std::string& stem, const std::vector<std::string>& contents, const std::string& key) const;

  const GradePlan& plan_;
  OutFolder& out_;
  ResultStore& store_;
};

}  // namespace firmus::batch
