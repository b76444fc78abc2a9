#include "drill_text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace firmus::practice {
namespace {

constexpr std::size_t max_row_length = 52;  ///< characters: a row ends at the first bar line after it

std::string with_beats(const std::string& what, const Fraction& beats) {
  if (beats == Fraction(1)) return what;
  if (beats.den == 1) return fmt::format("{}:{}", what, beats.num);
  return fmt::format("{}:{}/{}", what, beats.num, beats.den);
}

/// Tokens in rows, a bar line after each full bar; words in a line below their notes.
class BarWriter {
 public:
  BarWriter(const Meter& meter, bool has_words) : bar_(meter.count), has_words_(has_words) {}

  void add(const DrillNote& note) {
    Fraction left = note.beats;
    std::string what = note.pitch ? pitch_name(*note.pitch) : "rest";
    if (note.pitch) words_ += fmt::format(" {}", note.word.value_or("."));
    while (Fraction(0) < left) {
      const Fraction room = bar_ - filled_;
      const Fraction part = left < room ? left : room;
      put(with_beats(what, part));
      if (note.pitch) what = "hold";
      left = left - part;
      filled_ = filled_ + part;
      if (!(Fraction(0) < left) && note.breath_after) put(",");
      if (filled_ == bar_) end_bar();
    }
  }

  std::string finish() {
    if (Fraction(0) < filled_) {
      put(with_beats("rest", bar_ - filled_));
      end_bar();
    }
    end_row();
    return text_;
  }

 private:
  void put(const std::string& token) { row_ += row_.empty() ? token : " " + token; }
  void end_bar() {
    put("|");
    filled_ = Fraction(0);
    if (row_.size() > max_row_length) end_row();
  }
  void end_row() {
    if (row_.empty()) return;
    text_ += row_ + "\n";
    row_.clear();
    if (has_words_ && !words_.empty()) text_ += "words:" + words_ + "\n";
    words_.clear();
  }

  const Fraction bar_;
  const bool has_words_;
  Fraction filled_;
  std::string text_, row_, words_;
};

std::string header_lines(const DrillHeader& header) {
  std::string text = fmt::format("title: {}\ndrill: {}\n", header.title, drill_aim_text(header.aim));
  if (header.key) text += fmt::format("key: {}\n", key_name(*header.key));
  text += fmt::format("meter: {}/{}\ntempo: {}\n", header.meter.count, header.meter.unit, header.tempo);
  if (const std::string tuning = tuning_name(header.tuning); tuning != "equal")
    text += fmt::format("tuning: {}\n", tuning);
  if (header.a4_hz != 440.0) text += fmt::format("a4: {}\n", header.a4_hz);
  if (header.sounds_semitones != 0) text += fmt::format("sounds: {}\n", header.sounds_semitones);
  if (header.reference) text += fmt::format("reference: {}\n", to_string(*header.reference));
  return text;
}

}  // namespace

std::string drill_text(DrillHeader header, const std::vector<DrillNote>& notes) {
  int index = 0;
  header.aim.notes.clear();
  for (const DrillNote& note : notes) {
    if (note.practised) header.aim.notes.push_back(index);
    index += note.pitch.has_value();
  }
  const bool has_words = std::any_of(notes.begin(), notes.end(), [](const DrillNote& n) { return n.word.has_value(); });
  BarWriter bars(header.meter, has_words);
  for (const DrillNote& note : notes) bars.add(note);
  return header_lines(header) + "\n" + bars.finish();
}

}  // namespace firmus::practice
