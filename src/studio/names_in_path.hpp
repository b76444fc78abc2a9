// Whose recording it is, and of which piece, by the names in its path.
#pragma once
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/grading.hpp"
#include "folded_words.hpp"

namespace firmus::studio {

/// Names are found anywhere in the path, as whole words; case, accents, Unicode composition and what separates the
/// words do not count. Of names that lie in each other the longest wins; two names beside each other are not guessed
/// between.
class NamesInPath {
 public:
  /// `matching` must outlive this object. Without a roster a student is what is left of the name when the piece is
  /// taken away, or the folder that the file lies in.
  explicit NamesInPath(const Matching& matching);

  struct Found {
    std::string student;
    std::size_t piece = 0;
    std::optional<Unmatched> fault;  ///< why there is no student and piece; its `name` is empty
  };
  /// `path` is relative to the folder of the takes, with '/' between folders.
  Found find(std::string_view path) const;

 private:
  /// The names of students or of pieces by their folded form. A form of several of them names none.
  class Index {
   public:
    void add(const std::string& folded, std::size_t owner);
    const std::vector<std::size_t>* owners(const std::string& folded) const;

   private:
    std::map<std::string, std::vector<std::size_t>> by_name_;
  };
  /// A run of words of the path, [first, last], and what it may name.
  struct Mention {
    std::size_t first = 0, last = 0;
    const std::vector<std::size_t>* owners = nullptr;
    bool of_piece = false;
  };

  void add_students(const std::vector<std::string>& roster);
  void add_pieces(const Matching& matching);
  std::vector<Mention> mentions(const std::vector<FoldedWord>& words) const;
  Found find_without_roster(std::string_view path) const;
  /// The text before the piece, without separators at its end; the text after it where nothing is before.
  std::string rest_of(std::string_view text, const std::vector<FoldedWord>& words, const Mention& piece) const;

  const Matching& matching_;
  Index students_, pieces_;
};

}  // namespace firmus::studio
