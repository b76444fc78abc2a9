// How the summary is set: 78 columns, labels at the left, colours that only repeat what the words say.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/report.hpp"

namespace firmus::report {

inline constexpr int page_columns = 78;
inline constexpr int label_columns = 12;

enum class Tint { none, sharp, flat, in_tune };

/// `text` in the colour of `tint` (256-colour codes: sharp orange, flat blue, in tune grey).
std::string painted(std::string text, Tint tint, Colour colour);

/// "1 note", "3 notes"; `many` defaults to the word with an s.
std::string counted(int count, std::string_view one, std::string_view many = {});

/// Time to listen at, "m:ss.s".
std::string clock_time(double seconds);
/// How long, "m:ss".
std::string clock_length(double seconds);

/// "38 cents flat", "12 cents sharp", "0 cents": whole cents.
std::string cents_off(double cents);
Tint tint_of(double cents);

/// "a", "a and b", "a, b and c".
std::string listed(const std::vector<std::string>& parts);

/// The first `columns` code points.
std::string prefix(std::string_view text, int columns);
/// Cut to `columns` code points, with "..." at the end if anything is lost.
std::string shortened(std::string_view text, int columns);
/// Filled with spaces to `columns` code points.
std::string padded(std::string_view text, int columns);

/// The page: paragraphs are wrapped, lines are taken as they are.
class Page {
 public:
  /// A label and its text, wrapped, with the following lines under the text.
  void entry(std::string_view label, std::string_view text);
  void paragraph(std::string_view text);
  /// Wrapped and set in; its first word, which tells the way, in colour.
  void item(std::string_view text, Tint tint, Colour colour);
  void line(std::string_view text);
  /// One empty line, unless the page is empty or ends with one.
  void gap();
  std::string text() const { return text_; }

 private:
  std::string text_;
};

}  // namespace firmus::report
