// Layout of the text reports: 78 columns, labels at the left. Colours only repeat what the words say.
#pragma once
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "firmus/report.hpp"
#include "report/words.hpp"

namespace firmus::report {

inline constexpr int page_columns = 78;
inline constexpr int label_columns = 12;

enum class Tint { none, sharp, flat, in_tune };

/// `text` in the colour of `tint` (256-colour codes: sharp orange, flat blue, in tune grey).
std::string painted(std::string text, Tint tint, Colour colour);

Tint tint_of(double cents);

/// The first `columns` code points.
std::string prefix(std::string_view text, int columns);
/// Padded with spaces to `columns` code points; a longer text is unchanged.
std::string padded(std::string_view text, int columns);

/// A page built block by block. In its text, paragraphs and items are wrapped; lines are not.
class Page {
 public:
  /// A label and its text, wrapped, with the following lines under the text.
  void entry(std::string_view label, std::string_view text);
  void paragraph(std::string_view text);
  /// An indented item. Its first word, which gives the direction, is coloured.
  void item(std::string_view text, Tint tint = Tint::none, Colour colour = Colour::never);
  void line(std::string_view text);
  /// One empty line, unless the page is empty or already ends with one.
  void gap();
  std::string text() const;
  std::vector<SummaryBlock> blocks() const;

 private:
  struct SetBlock {
    SummaryBlock block;
    Tint tint = Tint::none;
    Colour colour = Colour::never;
  };
  void add(SummaryBlock::Kind kind, std::string_view label, std::string_view text, Tint tint = Tint::none,
           Colour colour = Colour::never);
  std::vector<SetBlock> set_;
};

}  // namespace firmus::report
