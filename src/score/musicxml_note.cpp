#include <fmt/format.h>

#include "common.hpp"
#include "musicxml_part.hpp"
#include "xml_document.hpp"

namespace firmus::score {
namespace {

/// The verse of a lyric: its number, or the figures at the end of it ("part1verse2"); else its place among the lyrics.
int verse_of(const pugi::xml_node& lyric, int place) {
  std::string_view number = stripped(lyric.attribute("number").value());
  std::size_t figures = 0;
  while (figures < number.size() && number[number.size() - 1 - figures] >= '0' &&
         number[number.size() - 1 - figures] <= '9')
    ++figures;
  number.remove_prefix(number.size() - figures);
  return whole_number(number, 1, 99).value_or(place);
}

/// Texts joined by elisions are one syllable; whether the last of them goes on decides its "-".
std::string text_of_lyric(const pugi::xml_node& lyric) {
  std::string text;
  bool goes_on = false;
  for (const pugi::xml_node& child : lyric.children()) {
    const std::string_view name = child.name();
    if (name == "syllabic") {
      const std::string_view syllabic = child.text().get();
      goes_on = syllabic == "begin" || syllabic == "middle";
    } else if (name == "text") {
      text += child.text().get();
    } else if (name == "elision") {
      text += ' ';
    }
  }
  std::string syllable = syllable_text(text);
  if (goes_on && !syllable.empty() && !syllable.ends_with('-')) syllable += '-';
  return syllable;
}

std::vector<Syllable> lyrics_of(const pugi::xml_node& element) {
  std::vector<Syllable> words;
  int place = 0;
  for (const pugi::xml_node& lyric : element.children("lyric")) {
    ++place;
    std::string text = text_of_lyric(lyric);
    if (!text.empty()) words.push_back({verse_of(lyric, place), std::move(text)});
  }
  return words;
}

void read_ties(const pugi::xml_node& tie, Note& note) {
  const std::string_view type = tie.attribute("type").value();
  if (type == "start" || type == "continue") note.tie_begins = true;
  if (type == "stop" || type == "continue") note.tie_ends = true;
}

void read_notations(const pugi::xml_node& element, Note& note) {
  for (const pugi::xml_node& notations : element.children("notations")) {
    if (has_child(notations, "fermata")) note.fermata = true;
    for (const pugi::xml_node& articulations : notations.children("articulations"))
      if (has_child(articulations, "breath-mark") || has_child(articulations, "caesura")) note.breath_after = true;
    for (const pugi::xml_node& tied : notations.children("tied")) read_ties(tied, note);
  }
}

std::optional<SpelledPitch> pitch_of(const pugi::xml_node& pitch) {
  const std::string_view step = child_text(pitch, "step");
  const auto octave = whole_number(child_text(pitch, "octave"), 0, 9);
  const std::string_view alter_text = child_text(pitch, "alter");
  const auto alter = alter_text.empty() ? Fraction(0) : decimal_number(alter_text);
  if (step.size() != 1 || !octave || !alter) return std::nullopt;
  return altered_pitch(step.front(), 100 * alter->value(), *octave);
}

}  // namespace

RawNote read_raw_note(const pugi::xml_node& element, const Fraction& divisions) {
  RawNote raw;
  raw.in_chord = has_child(element, "chord");
  raw.cue = has_child(element, "cue");
  raw.unpitched = has_child(element, "unpitched");
  raw.note.grace = has_child(element, "grace");
  if (has_child(element, "voice")) raw.voice = child_text(element, "voice");
  raw.staff = whole_number(child_text(element, "staff"), 1, 99).value_or(1);
  if (!raw.note.grace) {
    const auto duration = decimal_number(child_text(element, "duration"));
    if (duration && Fraction(0) < *duration) raw.note.length = *duration / divisions;
  }
  const auto pitch = pitch_of(element.child("pitch"));
  raw.sung = pitch && !raw.cue;
  if (!raw.sung) return raw;
  raw.note.pitch = *pitch;
  for (const pugi::xml_node& tie : element.children("tie")) read_ties(tie, raw.note);
  read_notations(element, raw.note);
  raw.note.words = lyrics_of(element);
  return raw;
}

}  // namespace firmus::score
