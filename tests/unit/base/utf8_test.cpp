#include "base/utf8.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace firmus;

// Sequences and their encodings: RFC 3629, sections 3 and 7.
TEST_CASE("the_length_of_a_valid_sequence_is_that_of_its_character") {
  CHECK(utf8_sequence_length("A\xCE\x91") == 1);
  CHECK(utf8_sequence_length("\xCE\x91.") == 2);             // U+0391
  CHECK(utf8_sequence_length("\xE2\x89\xA2\xCE\x91") == 3);  // U+2262
  CHECK(utf8_sequence_length("\xF0\xA3\x8E\xB4") == 4);      // U+233B4
  CHECK(utf8_sequence_length("\xF4\x8F\xBF\xBF") == 4);      // U+10FFFF, the last one
}

TEST_CASE("invalid_bytes_have_length_0") {
  CHECK(utf8_sequence_length("\x91") == 0);  // a continuation alone
  CHECK(utf8_sequence_length("\xCE") == 0);  // cut short
  CHECK(utf8_sequence_length("\xCE"
                             "A") == 0);                 // no continuation
  CHECK(utf8_sequence_length("\xC0\x80") == 0);          // overlong U+0000
  CHECK(utf8_sequence_length("\xE0\x9F\xBF") == 0);      // overlong U+07FF
  CHECK(utf8_sequence_length("\xF0\x8F\xBF\xBF") == 0);  // overlong U+FFFF
  CHECK(utf8_sequence_length("\xED\xA1\x8C") == 0);      // surrogate U+D84C
  CHECK(utf8_sequence_length("\xF4\x90\x80\x80") == 0);  // U+110000
  CHECK(utf8_sequence_length("\xFF") == 0);
}

TEST_CASE("an_invalid_byte_counts_as_one_code_point") {
  CHECK(code_points("") == 0);
  CHECK(code_points("h\xC3\xA9!") == 3);
  CHECK(code_points("a\xFF\xFE"
                    "b") == 4);
}

TEST_CASE("the_first_code_points_end_before_the_next_character") {
  const std::string text = "\xC3\xA9t\xE2\x99\xAF!";  // e acute, t, sharp, !
  CHECK(first_code_points(text, 0) == "");
  CHECK(first_code_points(text, 1) == "\xC3\xA9");
  CHECK(first_code_points(text, 3) == "\xC3\xA9t\xE2\x99\xAF");
  CHECK(first_code_points(text, 9) == text);
}

TEST_CASE("C0_DEL_and_C1_are_control_characters") {
  for (const char* control : {"\t", "\x1F", "\x7F", "\xC2\x80", "\xC2\x9F"}) CHECK(is_control_character(control));
  for (const char* shown : {" ", "~", "\xC2\xA0", "\xC3\x80"}) CHECK_FALSE(is_control_character(shown));
}
