// Matches a file name with a pattern: which student, which attempt.
#pragma once
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/error.hpp"

namespace firmus::studio {

class Pattern {
 public:
  /// Throws InputError with `place` when the pattern is invalid (see require_pattern).
  Pattern(std::string_view text, const SourceLocation& place);

  struct Found {
    std::string student;         ///< id as returned by `known`
    std::optional<int> attempt;  ///< number at {try}; none without {try}
  };
  /// The match with the longest text for {student}; none when the name does not match. `name` has no extension. `known`
  /// returns the id for a part of the name, none when it is not an id.
  using Known = std::function<std::optional<std::string>(std::string_view text)>;
  std::optional<Found> match(std::string_view name, std::string_view piece, const Known& known) const;
  bool names_the_piece() const;  ///< has {piece}

 private:
  enum class Kind { text, student, piece, attempt, anything };
  struct Token {
    Kind kind;
    std::string text;
  };
  std::vector<Token> tokens_;
  std::size_t student_ = 0;  ///< position of {student} in `tokens_`

  class Span;
};

/// Whether the characters on the two sides of `at` are not both letters or digits (bytes above ASCII are letters).
bool is_word_boundary(std::string_view text, std::size_t at);

}  // namespace firmus::studio
