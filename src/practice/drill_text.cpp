#include "drill_text.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace firmus::practice {
namespace {

constexpr std::size_t max_row_length = 52;  ///< a row ends at the first bar line past this

std::string with_beats(const std::string& what, const Fraction& beats) {
  if (beats == Fraction(1)) return what;
  if (beats.den == 1) return fmt::format("{}:{}", what, beats.num);
  return fmt::format("{}:{}/{}", what, beats.num, beats.den);
}

/// Tokens in rows, a bar line after each full bar; words in a line below their notes.
class BarWriter {
 public:
  BarWriter(const Meter& meter, bool has_words) : bar_(meter.count), has_words_(has_words) {}

  void add(const DrillNote& sound) {
    Fraction left = sound.beats;
    std::string what = sound.pitch ? pitch_name(*sound.pitch) : "rest";
    if (sound.pitch) words_ += fmt::format(" {}", sound.word.value_or("."));
    while (Fraction(0) < left) {
      const Fraction room = bar_ - filled_;
      const Fraction part = left < room ? left : room;
      put(with_beats(what, part));
      if (sound.pitch) what = "hold";
      left = left - part;
      filled_ = filled_ + part;
      if (!(Fraction(0) < left) && sound.breath_after) put(",");
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

std::string header_lines(const DrillHeader& head) {
  std::string text = fmt::format("title: {}\ndrill: {}\n", head.title, drill_aim_text(head.aim));
  if (head.key) text += fmt::format("key: {}\n", key_name(*head.key));
  text += fmt::format("meter: {}/{}\ntempo: {}\n", head.meter.count, head.meter.unit, head.tempo);
  if (const std::string tuning = tuning_name(head.tuning); tuning != "equal")
    text += fmt::format("tuning: {}\n", tuning);
  if (head.a4_hz != 440.0) text += fmt::format("a4: {}\n", head.a4_hz);
  if (head.sounds_semitones != 0) text += fmt::format("sounds: {}\n", head.sounds_semitones);
  if (head.reference) text += fmt::format("reference: {}\n", to_string(*head.reference));
  return text;
}

}  // namespace

std::string drill_text(DrillHeader head, const std::vector<DrillNote>& sounds) {
  int note = 0;
  head.aim.notes.clear();
  for (const DrillNote& sound : sounds) {
    if (sound.counts) head.aim.notes.push_back(note);
    note += sound.pitch.has_value();
  }
  const bool has_words =
      std::any_of(sounds.begin(), sounds.end(), [](const DrillNote& s) { return s.word.has_value(); });
  BarWriter bars(head.meter, has_words);
  for (const DrillNote& sound : sounds) bars.add(sound);
  return header_lines(head) + "\n" + bars.finish();
}

}  // namespace firmus::practice
