// The text of a melody as lines, with positions for problems.
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "base/ascii.hpp"
#include "base/base.hpp"
#include "base/csv.hpp"
#include "base/diagnostics.hpp"

namespace firmus::melody {

struct Line {
  int number = 1;
  std::string_view text;  ///< without its end; points into the source
};

/// Lines ended by LF, CRLF or CR.
std::vector<Line> split_lines(std::string_view text);

/// Throws InputError when the text is larger than 1 MiB, has another format, is not UTF-8, or holds control characters.
void check_is_text(std::string_view text, const std::string& file);

/// Converts byte offsets, given in ascending order, to columns: code points, from 1.
class Columns {
 public:
  explicit Columns(std::string_view text, int first_column = 1) : text_(text), column_(first_column) {}
  int at(std::size_t offset) {
    column_ += code_points(text_.substr(offset_, offset - offset_));
    offset_ = offset;
    return column_;
  }

 private:
  std::string_view text_;
  std::size_t offset_ = 0;
  int column_ = 1;
};

constexpr bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// "1 beat", "3 beats".
std::string counted(std::string_view number, std::string_view unit);

}  // namespace firmus::melody
