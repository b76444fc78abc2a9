#include "musicxml_signs.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/diagnostics.hpp"
#include "common.hpp"
#include "endings.hpp"
#include "xml_document.hpp"

namespace firmus::score {
namespace {

constexpr int most_times = 99;

/// "D.C. al Fine" -> "dcalfine".
std::string letters_only(std::string_view text) {
  std::string letters;
  for (const char c : lower_ascii(text))
    if (c >= 'a' && c <= 'z') letters += c;
  return letters;
}

bool says(const pugi::xml_node& sound, const char* name) {
  const std::string_view value = sound.attribute(name).value();
  return !value.empty() && value != "no";
}

}  // namespace

Signs& MusicXmlSigns::at(std::size_t measure) {
  if (signs_.size() <= measure) signs_.resize(measure + 1);
  return signs_[measure];
}

void MusicXmlSigns::barline(const pugi::xml_node& barline, std::size_t measure) {
  const bool at_right = std::string_view(barline.attribute("location").value()) == "right";
  if (const pugi::xml_node repeat = barline.child("repeat")) {
    if (std::string_view(repeat.attribute("direction").value()) == "forward") {
      at(at_right ? measure + 1 : measure).repeat_begins = true;
    } else {
      const int times = whole_number(repeat.attribute("times").value(), 2, most_times).value_or(2);
      at(measure).repeat_times = std::max(at(measure).repeat_times, times);
    }
  }
  if (const pugi::xml_node ending = barline.child("ending")) {
    const std::string_view type = ending.attribute("type").value();
    if (type == "start" && at(measure).endings.empty())
      at(measure).endings = ending_numbers(ending.attribute("number").value());
    if (type == "stop" || type == "discontinue") at(measure).ending_ends = true;
  }
  if (has_child(barline, "segno")) at(measure).segno = true;
  if (has_child(barline, "coda")) at(at_right ? measure + 1 : measure).coda = true;
}

/// Whether the sound has a jump or a place to jump to.
bool MusicXmlSigns::jumps(const pugi::xml_node& sound, std::size_t measure) {
  Signs found;
  found.segno = says(sound, "segno");
  found.coda = says(sound, "coda");
  found.fine = says(sound, "fine");
  found.to_coda = says(sound, "tocoda");
  found.da_capo = says(sound, "dacapo");
  found.dal_segno = says(sound, "dalsegno");
  found.repeat_begins = says(sound, "forward-repeat");
  Signs& signs = at(measure);
  signs.segno |= found.segno;
  signs.coda |= found.coda;
  signs.fine |= found.fine;
  signs.to_coda |= found.to_coda;
  signs.da_capo |= found.da_capo;
  signs.dal_segno |= found.dal_segno;
  signs.repeat_begins |= found.repeat_begins;
  return found.segno || found.coda || found.fine || found.to_coda || found.da_capo || found.dal_segno;
}

void MusicXmlSigns::sound(const pugi::xml_node& sound, std::size_t measure) {
  jumps(sound, measure);
}

// Where there is no sound, what is printed decides.
void MusicXmlSigns::direction(const pugi::xml_node& direction, std::size_t measure, int bar) {
  if (jumps(direction.child("sound"), measure)) return;
  for (const pugi::xml_node& type : direction.children("direction-type")) {
    if (has_child(type, "segno")) at(measure).segno = true;
    if (has_child(type, "coda") && (bare_codas_.empty() || bare_codas_.back() != measure))
      bare_codas_.push_back(measure);
    for (const pugi::xml_node& text : type.children("words")) words(text.text().get(), measure, bar);
  }
}

void MusicXmlSigns::words(std::string_view text, std::size_t measure, int bar) {
  const std::string letters = letters_only(text);
  constexpr std::size_t longest = 24;  // "Dal Segno al Fine e poi la Coda" is longer; nothing else is
  if (letters.size() > longest) return;
  Signs& signs = at(measure);
  const bool fine = letters == "fine" || letters == "alfine";
  const bool da_capo = letters == "dc" || letters.starts_with("dcal") || letters.starts_with("dacapo");
  const bool dal_segno = letters == "ds" || letters.starts_with("dsal") || letters.starts_with("dalsegno");
  const bool to_coda = letters == "tocoda" || letters == "alcoda";
  if (!fine && !da_capo && !dal_segno && !to_coda) return;
  signs.fine |= fine;
  signs.da_capo |= da_capo;
  signs.dal_segno |= dal_segno;
  signs.to_coda |= to_coda;
  remarks_.add(fmt::format("{} is played out as its words say", in_quotes(one_line(text))), bar);
}

void MusicXmlSigns::apply(std::vector<Part>& parts) {
  // Of several coda signs, one jumps from all but the last, to the last.
  for (std::size_t i = 0; i < bare_codas_.size(); ++i) {
    Signs& signs = at(bare_codas_[i]);
    (i + 1 == bare_codas_.size() ? signs.coda : signs.to_coda) = true;
  }
  for (Part& part : parts)
    for (std::size_t i = 0; i < std::min(signs_.size(), part.measures.size()); ++i) part.measures[i].signs = signs_[i];
}

}  // namespace firmus::score
