// Problems with what the user gave us: thrown by readers and parsers, caught once by whoever runs the command.
// Algorithms never throw these; they return values or status enums.
#pragma once
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace firmus {

/// Where in an input a problem stands. `line` and `column` count from 1, columns in Unicode code points (a tab is 1,
/// a byte order mark 0); 0 means "the file as a whole".
struct SourceLocation {
  std::string file;
  int line = 0;
  int column = 0;
};

/// One problem, in the three parts that every error line has.
struct Problem {
  SourceLocation place;
  std::string what;    ///< what is wrong, naming the offending token
  std::string remedy;  ///< what would be right; may be empty
};

/// "FILE:LINE:COLUMN: what; remedy" without the leading "firmus: "; control characters escaped.
std::string to_line(const Problem& problem);

/// A melody, roster, rubric, assignment or command line that is wrong: exit status 2. Holds at least one problem.
class InputError : public std::runtime_error {
 public:
  explicit InputError(std::vector<Problem> problems);
  explicit InputError(Problem problem) : InputError(std::vector<Problem>{std::move(problem)}) {}
  const std::vector<Problem>& problems() const { return problems_; }

 private:
  std::vector<Problem> problems_;
};

/// A take that cannot be measured: the batch goes on, exit status 1. `kind` is one word for scripts
/// (missing unreadable empty not_audio silence not_this_rate too_long ...), `advice` says what to do.
class TakeError : public std::runtime_error {
 public:
  TakeError(std::string error_kind, std::string error_detail, std::string error_advice)
      : std::runtime_error(error_detail),
        kind(std::move(error_kind)),
        detail(std::move(error_detail)),
        advice(std::move(error_advice)) {}
  std::string kind, detail, advice;
};

/// A result that cannot be written (disk full, closed output, folder that cannot be made): exit status 4.
class WriteError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace firmus
