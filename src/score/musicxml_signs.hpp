// Repeats, endings and jumps of a MusicXML measure.
#pragma once
#include <pugixml.hpp>
#include <vector>

#include "remarks.hpp"
#include "score.hpp"

namespace firmus::score {

/// The signs of all parts, by measure: they hold for every part, though written in one.
class MusicXmlSigns {
 public:
  void barline(const pugi::xml_node& barline, std::size_t measure);
  /// A direction with its sound, or a sound by itself.
  void direction(const pugi::xml_node& direction, std::size_t measure, int bar);
  void sound(const pugi::xml_node& sound, std::size_t measure);
  /// Puts the signs into the measures.
  void apply(std::vector<Part>& parts);
  const Remarks& remarks() const { return remarks_; }

 private:
  Signs& at(std::size_t measure);
  bool jumps(const pugi::xml_node& sound, std::size_t measure);
  void words(std::string_view text, std::size_t measure, int bar);

  std::vector<Signs> signs_;
  std::vector<std::size_t> bare_codas_;  ///< coda signs that do not say whether one jumps to or from them
  Remarks remarks_;
};

}  // namespace firmus::score
