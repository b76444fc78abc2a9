// Errors in the user's input: thrown by readers and parsers, caught once per command or recording. Algorithms do not
// throw them; they return values or status enums.
#pragma once
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace firmus {

/// A position in an input file. `line` and `column` count from 1, columns in Unicode code points (a tab counts 1, a
/// byte order mark 0); 0 stands for the file as a whole.
struct SourceLocation {
  std::string file;
  int line = 0;
  int column = 0;
};

/// One problem. An error line shows these three parts.
struct Problem {
  SourceLocation place;
  std::string what;    ///< what is wrong, naming the offending token
  std::string remedy;  ///< how to correct it; may be empty
};

/// "FILE:LINE:COLUMN: what; remedy" without the leading "firmus: "; control characters escaped.
std::string to_line(const Problem& problem);

/// An invalid melody, roster, rubric, assignment or command line: exit status 2. Holds at least one problem.
class InputError : public std::runtime_error {
 public:
  explicit InputError(std::vector<Problem> problems);
  explicit InputError(Problem problem) : InputError(std::vector<Problem>{std::move(problem)}) {}
  const std::vector<Problem>& problems() const { return problems_; }

 private:
  std::vector<Problem> problems_;
};

/// A recording that cannot be measured: the batch continues, exit status 1. `kind` is one word for scripts (missing,
/// unreadable, empty, not_audio, silence, rate, too_long, ...), `advice` says what to do.
class TakeError : public std::runtime_error {
 public:
  TakeError(std::string error_kind, std::string error_detail, std::string error_advice)
      : std::runtime_error(error_detail),
        kind(std::move(error_kind)),
        detail(std::move(error_detail)),
        advice(std::move(error_advice)) {}
  std::string kind, detail, advice;
};

/// A result that cannot be written (disk full, closed output, folder that cannot be created): exit status 4.
class WriteError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace firmus
