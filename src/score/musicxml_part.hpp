// The measures of one part of a MusicXML score -> Part.
#pragma once
#include <pugixml.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "musicxml_signs.hpp"
#include "score.hpp"

namespace firmus::score {

/// A note or rest as it stands in the file.
struct RawNote {
  Note note;
  std::string_view voice = "1";  ///< points into the document
  int staff = 1;
  bool in_chord = false;  ///< begins with the note before it
  bool sung = false;      ///< a pitched note, no rest and no cue
  bool cue = false, unpitched = false;
};

/// The fields of a <note> that do not depend on the notes before it; `divisions` of a quarter.
RawNote read_raw_note(const pugi::xml_node& element, const Fraction& divisions);

class MusicXmlPart {
 public:
  /// `note_count` counts the notes of all parts.
  MusicXmlPart(std::string name, MusicXmlSigns& signs, std::size_t& note_count, const std::string& file);

  void read_measure(const pugi::xml_node& measure);
  /// The part with the line of its melody: the voice with the lowest number on the upper staff.
  Part finish();

 private:
  void child(const pugi::xml_node& element);
  void attributes(const pugi::xml_node& attributes);
  void time(const pugi::xml_node& time);
  void key(const pugi::xml_node& key);
  void tempo(const pugi::xml_node& direction);
  void note(const pugi::xml_node& element);
  void move(const pugi::xml_node& element, int direction);
  void number_measure(const pugi::xml_node& element);
  Change& change_here();
  Measure& measure() { return part_.measures.back(); }
  std::string_view melody_voice() const;
  void take_line(std::size_t measure, std::string_view voice);
  void remark_left_out(const RawNote& raw, std::string_view voice, int bar);

  Part part_;
  MusicXmlSigns& signs_;
  std::size_t& note_count_;
  const std::string& file_;
  std::vector<std::vector<RawNote>> raw_;  ///< by measure
  Remarks remarks_;
  std::optional<Meter> meter_;
  bool meter_printed_ = false;
  Fraction divisions_{1};
  Fraction cursor_, chord_at_;
};

}  // namespace firmus::score
