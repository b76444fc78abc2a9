// Blocks of a text page, and what every page ends with.
#pragma once
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "firmus/words.hpp"

namespace firmus::studio {

inline constexpr std::string_view care =
    "This measures the distance from one tuning; style, blue notes, leading tones and vibrato are the teacher's to "
    "judge, and the teacher's judgement stands.";
inline constexpr std::string_view care_of_the_body =
    "Stop at pain or strain; hoarseness that lasts needs a doctor. Strings: stop at pain, numbness or tingling.";

class SummaryPage {
 public:
  void entry(std::string_view label, std::string_view text) { add(Kind::labelled, label, text); }
  void paragraph(std::string_view text) { add(Kind::paragraph, {}, text); }
  void item(std::string_view text) { add(Kind::item, {}, text); }
  void line(std::string_view text) { add(Kind::line, {}, text); }
  void gap() { add(Kind::gap, {}, {}); }
  std::string text() const { return report::set_in_columns(blocks_); }

 private:
  using Kind = report::SummaryBlock::Kind;
  void add(Kind kind, std::string_view label, std::string_view text) {
    blocks_.push_back({kind, std::string(label), std::string(text)});
  }
  std::vector<report::SummaryBlock> blocks_;
};

}  // namespace firmus::studio
