// A part of a score as performed -> the sections of a melody text.
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "parsed_melody.hpp"
#include "score/score.hpp"

namespace firmus::melody {

/// A note, rest or hold of a stretch, in quarters.
struct PlayedItem {
  ItemKind kind = ItemKind::note;
  SpelledPitch pitch{};
  std::size_t measure = 0;
  Fraction at, quarters;
  NoteMark mark = NoteMark::none;
  bool breath_after = false;
  friend bool operator==(const PlayedItem&, const PlayedItem&) = default;
};

/// The same with the words of each time: a section of the text.
struct SectionOfText {
  std::vector<PlayedItem> items;
  std::vector<std::vector<std::optional<std::string>>> words;  ///< by pass
};

struct PlayedSections {
  std::vector<SectionOfText> sections;
  std::vector<std::size_t> order;
};

/// The measures in the order in which they are played, with ties merged. Measures that are always played one after the
/// other are a section; a stretch that is tied into another way when it comes again is a section of its own. Words: see
/// text_of_score.
PlayedSections played_sections(const score::Part& part, const std::vector<score::PlayedMeasure>& order,
                               std::optional<int> verse);

}  // namespace firmus::melody
