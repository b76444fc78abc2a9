#include "near_words.hpp"

#include <algorithm>
#include <cstddef>

namespace firmus::cli {
namespace {

/// More different letters than this share of the word, and it is another word.
constexpr std::size_t letters_for_each_error = 3;

/// Optimal string alignment: as edit distance, and a swap of two neighbours counts once.
std::size_t letters_apart(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before_last, last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], before_last[j - 2] + 1);
    }
    before_last = last;
    last = row;
  }
  return last[b.size()];
}

std::optional<std::string> only_one_that_begins_with(std::string_view typed, const std::vector<std::string>& known) {
  std::optional<std::string> found;
  for (const std::string& word : known)
    if (word.starts_with(typed)) {
      if (found) return std::nullopt;
      found = word;
    }
  return found;
}

}  // namespace

std::optional<std::string> nearest_word(std::string_view typed, const std::vector<std::string>& known) {
  constexpr std::size_t longest_word = 40;
  if (typed.empty() || typed.size() > longest_word) return std::nullopt;
  const std::size_t most = typed.size() / letters_for_each_error;
  std::optional<std::string> nearest;
  std::size_t nearest_apart = most + 1;
  for (const std::string& word : known) {
    const std::size_t apart = letters_apart(typed, word);
    if (apart > most || apart > nearest_apart) continue;
    nearest = apart == nearest_apart ? std::nullopt : std::optional(word);
    nearest_apart = apart;
  }
  return nearest_apart <= most ? nearest : only_one_that_begins_with(typed, known);
}

}  // namespace firmus::cli
