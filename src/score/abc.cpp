#include "abc.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "abc_voice.hpp"
#include "base/base.hpp"
#include "base/diagnostics.hpp"
#include "common.hpp"

namespace firmus::score {
namespace {

std::string listed_tunes(const std::vector<AbcTune>& tunes) {
  constexpr std::size_t most_listed = 12;
  std::string list;
  for (std::size_t i = 0; i < std::min(tunes.size(), most_listed); ++i) {
    list += fmt::format("{}{}", i > 0 ? ", " : "", one_line(tunes[i].number));
    if (!tunes[i].title.empty()) list += " " + in_quotes(tunes[i].title);
  }
  return tunes.size() > most_listed ? list + ", ..." : list;
}

const AbcTune& chosen_tune(const std::vector<AbcTune>& tunes, const std::optional<std::string>& number,
                           const std::string& file) {
  if (tunes.empty()) refuse_score(file, "has no tune", "begin one with X: 1, and its key with K:");
  if (!number) {
    if (tunes.size() == 1) return tunes.front();
    refuse_score(file, fmt::format("has {} tunes", tunes.size()), "choose one with --tune: " + listed_tunes(tunes));
  }
  const auto wanted = stripped(*number);
  for (const AbcTune& tune : tunes)
    if (tune.number == wanted) return tune;
  refuse_score(file, fmt::format("has no tune {}", in_quotes(*number)), "its tunes are " + listed_tunes(tunes));
}

/// Hands the lines of a tune to its voices.
class TuneReader {
 public:
  TuneReader(const AbcTune& tune, const std::string& file) : tune_(tune), file_(file) {}

  Score read() {
    for (const AbcLine& line : tune_.header) {
      if (line.kind == 'P') order_ = abc_part_order(line.text);
      if (line.kind == 'V') open(line.text);
    }
    for (const AbcLine& line : tune_.body) body_line(line);
    Score score;
    score.title = tune_.title;
    score.words_are_shared = true;
    for (const auto& voice : voices_)
      if (voice->has_content()) score.parts.push_back(voice->finish(order_));
    if (score.parts.empty()) refuse_score(file_, "has no notes", "check that it is the right tune");
    return score;
  }

 private:
  void body_line(const AbcLine& line) {
    if (line.kind == '+') {  // goes on with the field before
      if (last_ == 'w') current().words(line.text);
      return;
    }
    if (line.kind == 'V')
      current_ = open(line.text);
    else if (line.kind == 'w')
      current().words(line.text);
    else if (line.kind == 0)
      music(line.text);
    else
      current().field(line.kind, line.text);
    last_ = line.kind;
  }

  /// Inline fields [V:2] change the voice within a line.
  void music(std::string_view text) {
    for (std::size_t at = text.find("[V:"); at != std::string_view::npos; at = text.find("[V:")) {
      current_music(text.substr(0, at));
      const std::size_t end = std::min(text.find(']', at), text.size());
      current_ = open(stripped(text.substr(at + 3, end - std::min(end, at + 3))));
      text.remove_prefix(std::min(end + 1, text.size()));
    }
    current_music(text);
  }

  void current_music(std::string_view text) {
    if (!stripped(text).empty()) current().music(text);
  }

  AbcVoice& current() {
    if (!current_) current_ = voices_.empty() ? open("1") : voices_.front().get();
    return *current_;
  }

  /// The voice of a V: field, with what the field says; a new one begins with the fields of the header.
  AbcVoice* open(std::string_view field) {
    constexpr std::size_t most_voices = 200;
    const std::string id(field.substr(0, field.find_first_of(" \t")));
    AbcVoice* voice = nullptr;
    for (const auto& known : voices_)
      if (known->id() == id) voice = known.get();
    if (!voice) {
      if (voices_.size() == most_voices) refuse_score(file_, "has more than 200 voices", "give one tune");
      voices_.push_back(std::make_unique<AbcVoice>(id, note_count_, file_));
      voice = voices_.back().get();
      for (const AbcLine& line : tune_.header)
        if (std::string_view("KMLQUm").find(line.kind) != std::string_view::npos) voice->field(line.kind, line.text);
    }
    for (const char* property : {"name", "nm"})
      if (std::string name = abc_property(field, property); !name.empty()) voice->set_name(one_line(name));
    voice->field('V', field.substr(std::min(id.size(), field.size())));
    return voice;
  }

  const AbcTune& tune_;
  const std::string& file_;
  std::string order_;
  std::vector<std::unique_ptr<AbcVoice>> voices_;
  AbcVoice* current_ = nullptr;
  std::size_t note_count_ = 0;
  char last_ = 0;
};

}  // namespace

Score read_abc(std::string_view bytes, const std::string& file, const std::optional<std::string>& number) {
  if (bytes.starts_with("\xEF\xBB\xBF")) bytes.remove_prefix(3);
  const std::string text = utf8_of(bytes);
  const std::vector<AbcTune> tunes = abc_tunes(text);
  return TuneReader(chosen_tune(tunes, number, file), file).read();
}

}  // namespace firmus::score
