// The words of a file's name or a person's, in a form in which case, accents and Unicode composition do not count.
#pragma once
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace firmus::studio {

/// A word and its place in the text, in bytes: [begin, end).
struct FoldedWord {
  std::string text;  ///< case folded, without accents (Unicode Standard Annex 15, compatibility decomposition)
  std::size_t begin = 0, end = 0;
};

/// Letters, digits and the accents on them make words; everything else separates. A capital after a small letter begins
/// a new word ("EmmaKite"), and so does a change between figures and three or more letters ("kite2", but not "s10").
std::vector<FoldedWord> folded_words(std::string_view text);

/// All words of the text without what separates them: "Anna-Lena" and "ANNALENA" are the same.
std::string folded_name(std::string_view text);

}  // namespace firmus::studio
