#include "../../../src/cli/near_words.hpp"

#include <doctest/doctest.h>

using firmus::cli::nearest_word;

TEST_CASE("a word with one letter wrong, missing, doubled or swapped is found") {
  const std::vector<std::string> words{"check", "grade", "trend", "drill", "tone", "melody", "pitch"};
  for (const char* typed : {"chek", "chekc", "cheeck", "chick"}) CHECK(nearest_word(typed, words) == "check");
  CHECK(nearest_word("melodie", words) == "melody");
  CHECK(nearest_word("m", words) == "melody");
  CHECK(nearest_word("gr", words) == "grade");
}

TEST_CASE("a word that is like none, or like two, is not guessed") {
  CHECK_FALSE(nearest_word("analyse", {"check", "grade"}));
  CHECK_FALSE(nearest_word("t", {"trend", "tone"}));
  CHECK_FALSE(nearest_word("bat", {"cat", "hat"}));
  CHECK_FALSE(nearest_word("", {"check"}));
  CHECK_FALSE(nearest_word(std::string(1000, 'c'), {"check"}));
}
