// Small MusicXML scores written in one line: measures of notes, for tests.
#pragma once
#include <string>
#include <string_view>

#include "../melody/reading.hpp"

/// <note>: "D4", "F#4", "Bb4"; its duration in divisions (4 to a quarter), and further elements.
inline std::string xml_note(std::string_view name, int duration, const std::string& more = "",
                            const std::string& first = "") {
  std::string alter;
  if (name.size() > 2) alter = name[1] == '#' ? "<alter>1</alter>" : "<alter>-1</alter>";
  std::string note = "<note>" + first + "<pitch><step>" + std::string(1, name[0]) + "</step>" + alter + "<octave>" +
                     std::string(1, name.back()) + "</octave></pitch>";
  if (duration > 0) note += "<duration>" + std::to_string(duration) + "</duration>";
  return note + "<voice>1</voice>" + more + "</note>";
}
inline std::string xml_rest(int duration) {
  return "<note><rest/><duration>" + std::to_string(duration) + "</duration><voice>1</voice></note>";
}
inline std::string xml_lyric(int verse, const std::string& text, const std::string& syllabic = "single") {
  return "<lyric number=\"" + std::to_string(verse) + "\"><syllabic>" + syllabic + "</syllabic><text>" + text +
         "</text></lyric>";
}
inline std::string xml_measure(const std::string& number, const std::string& content, const std::string& more = "") {
  return "<measure number=\"" + number + "\"" + more + ">" + content + "</measure>\n";
}
/// Divisions of 4 and a meter.
inline std::string xml_begin(int beats = 4, int type = 4) {
  return "<attributes><divisions>4</divisions><time><beats>" + std::to_string(beats) + "</beats><beat-type>" +
         std::to_string(type) + "</beat-type></time></attributes>";
}
inline std::string xml_part(const std::string& measures, const std::string& id = "P1") {
  return "<part id=\"" + id + "\">" + measures + "</part>";
}
/// `names`: one a part, with the ids P1, P2, ...
inline std::string xml_score(const std::string& parts, const std::vector<std::string>& names = {"Voice"}) {
  std::string list;
  for (std::size_t i = 0; i < names.size(); ++i)
    list += "<score-part id=\"P" + std::to_string(i + 1) + "\"><part-name>" + names[i] + "</part-name></score-part>";
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
         "<!DOCTYPE score-partwise PUBLIC \"-//Recordare//DTD MusicXML 4.0 Partwise//EN\" "
         "\"http://www.musicxml.org/dtds/partwise.dtd\">\n"
         "<score-partwise version=\"4.0\"><work><work-title>Song</work-title></work><part-list>" +
         list + "</part-list>" + parts + "</score-partwise>";
}
inline std::string xml_song(const std::string& measures) {
  return xml_score(xml_part(measures));
}
inline std::string xml_repeat(const char* direction, const std::string& more = "") {
  return std::string("<barline location=\"") + (direction[0] == 'f' ? "left" : "right") + "\">" + more +
         "<repeat direction=\"" + direction + "\"/></barline>";
}
/// An ending over one measure; `last` is without a repeat sign at its end.
inline std::string xml_ending(const std::string& numbers, const std::string& content, bool last) {
  return "<barline location=\"left\"><ending number=\"" + numbers + "\" type=\"start\"/></barline>" + content +
         (last ? "<barline location=\"right\"><ending number=\"" + numbers + "\" type=\"discontinue\"/></barline>"
               : xml_repeat("backward", "<ending number=\"" + numbers + "\" type=\"stop\"/>"));
}

/// The melody, which must be the same when its text is read again.
inline firmus::Melody read_line(std::string_view bytes, const firmus::LineChoice& line = {}) {
  firmus::Melody melody = firmus::read_melody(bytes, "song", line);
  const std::string text = firmus::melody_as_text(melody);
  CHECK(facts(read(text)) == facts(melody));
  CHECK(text == melody.text);
  return melody;
}
/// "1 1 2 2": the bars of the notes.
inline std::string bars(const firmus::Melody& melody) {
  std::string line;
  for (const firmus::WrittenNote& note : melody.notes)
    line += (line.empty() ? "" : " ") + (note.bar ? std::to_string(*note.bar) : "-");
  return line;
}
inline std::string refusal(std::string_view bytes, const firmus::LineChoice& line = {}) {
  try {
    firmus::read_melody(bytes, "song", line);
  } catch (const firmus::InputError& error) {
    return to_line(error.problems().front());
  }
  return {};
}
inline std::vector<std::string> remarks(const firmus::Melody& melody) {
  std::vector<std::string> lines;
  for (const firmus::Problem& problem : melody.warnings) lines.push_back(to_line(problem));
  return lines;
}
