// A name against a pattern: which student, which try.
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
  /// Throws InputError with `place`.
  Pattern(std::string_view text, const SourceLocation& place);

  struct Found {
    std::string student;         ///< as `known` gives it
    std::optional<int> attempt;  ///< of {try}
  };
  /// Of several students the longest. `known`: the id that a text stands for, if it is one; asked with text in lower
  /// case and as it stands in the name.
  using Known = std::function<std::optional<std::string>(std::string_view text)>;
  std::optional<Found> match(std::string_view name, std::string_view piece, const Known& known) const;
  bool names_the_piece() const;

 private:
  enum class Kind { text, student, piece, attempt, anything };
  struct Token {
    Kind kind;
    std::string text;
  };
  std::vector<Token> tokens_;
  std::size_t student_ = 0;  ///< place of {student}

  class Span;
};

/// Between characters of which not both are letters or figures.
bool is_word_boundary(std::string_view text, std::size_t at);

}  // namespace firmus::studio
