#include "musicxml.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "base/diagnostics.hpp"
#include "common.hpp"
#include "musicxml_part.hpp"
#include "xml_document.hpp"

namespace firmus::score {
namespace {

struct PartSource {
  std::string name;
  std::vector<pugi::xml_node> measures;
};

std::string title_of(const pugi::xml_node& root) {
  const std::string_view movement = child_text(root, "movement-title");
  const std::string_view work = child_text(root.child("work"), "work-title");
  return one_line(movement.empty() ? work : movement);
}

/// The parts in the order of the list of parts; a part that is not in the list comes behind.
std::vector<PartSource> sources_of(const pugi::xml_node& root) {
  std::vector<PartSource> parts;
  std::map<std::string_view, std::size_t> place;
  for (const pugi::xml_node& entry : root.child("part-list").children("score-part")) {
    place.try_emplace(entry.attribute("id").value(), parts.size());
    parts.push_back({one_line(child_text(entry, "part-name")), {}});
  }
  const auto part_of = [&](const pugi::xml_node& part) -> PartSource& {
    const auto [found, is_new] = place.try_emplace(part.attribute("id").value(), parts.size());
    if (is_new) parts.emplace_back();
    return parts[found->second];
  };
  const bool timewise = std::string_view(root.name()) == "score-timewise";
  if (timewise) {
    for (const pugi::xml_node& measure : root.children("measure"))
      for (const pugi::xml_node& part : measure.children("part")) part_of(part).measures.push_back(part);
  } else {
    for (const pugi::xml_node& part : root.children("part"))
      for (const pugi::xml_node& measure : part.children("measure")) part_of(part).measures.push_back(measure);
  }
  std::erase_if(parts, [](const PartSource& part) { return part.measures.empty(); });
  return parts;
}

/// A measure is as long as what it holds, in whichever part; one that holds nothing is as long as its meter says.
void share_lengths(std::vector<Part>& parts) {
  std::vector<Fraction> lengths;
  for (const Part& part : parts)
    for (std::size_t i = 0; i < part.measures.size(); ++i) {
      if (lengths.size() <= i) lengths.emplace_back();
      if (lengths[i] < part.measures[i].length) lengths[i] = part.measures[i].length;
    }
  for (Part& part : parts)
    for (std::size_t i = 0; i < part.measures.size(); ++i) {
      Measure& measure = part.measures[i];
      measure.length = lengths[i];
      if (measure.length == Fraction(0)) measure.length = bar_length(measure.meter.value_or(Meter{4, 4}));
    }
}

/// Sets where measures that go on with the bar before them begin.
void place_measures(Part& part) {
  place_upbeat(part);
  for (std::size_t i = 1; i < part.measures.size(); ++i) {
    Measure& measure = part.measures[i];
    const Measure& before = part.measures[i - 1];
    if (measure.from_bar_begin < Fraction(0)) measure.from_bar_begin = before.from_bar_begin + before.length;
  }
}

Score read_root(const pugi::xml_node& root, const std::string& file) {
  Score score;
  score.title = title_of(root);
  MusicXmlSigns signs;
  std::size_t note_count = 0;
  for (const PartSource& source : sources_of(root)) {
    MusicXmlPart part(source.name, signs, note_count, file);
    for (const pugi::xml_node& measure : source.measures) part.read_measure(measure);
    score.parts.push_back(part.finish());
  }
  if (score.parts.empty()) refuse_score(file, "has no part with measures", "export the score again");
  signs.apply(score.parts);
  share_lengths(score.parts);
  for (Part& part : score.parts) place_measures(part);
  score.warnings = signs.remarks().listed(file);
  return score;
}

}  // namespace

Score read_musicxml(std::string_view bytes, const std::string& file) {
  pugi::xml_document document;
  load_xml(document, bytes, file);
  const pugi::xml_node root = document.document_element();
  const std::string_view name = root.name();
  if (name != "score-partwise" && name != "score-timewise")
    refuse_score(file, fmt::format("is XML with the root {}, no MusicXML score", in_quotes(one_line(name))),
                 "export the score as MusicXML");
  return read_root(root, file);
}

}  // namespace firmus::score
