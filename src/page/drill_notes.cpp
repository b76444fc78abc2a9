#include "drill_notes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <sstream>

#include "base/markup.hpp"
#include "firmus/tone.hpp"

namespace firmus::page {
namespace {

/// The element of each note, with the data that the script plays it from, by line and column of the melody text.
class NoteElements {
 public:
  NoteElements(const Melody& melody, std::string_view prefix) {
    const std::vector<ToneSpan> spans = tone_spans(melody, {});
    for (const ToneSpan& span : spans) {
      const WrittenNote& note = melody.notes[static_cast<std::size_t>(span.index)];
      opening_tags_[{note.line, note.column}] = fmt::format(
          "<span id=\"{}note-{}\" data-hz=\"{:.3f}\" data-from-s=\"{:.3f}\" data-length-s=\"{:.3f}\" data-name=\"{}\">",
          prefix, span.index, span.hz, seconds(span.begin - spans.front().begin), seconds(span.end - span.begin),
          markup_escaped(name_with_place(note)));
    }
  }

  /// The markup of a row of the melody text, each note in its element.
  std::string row(const std::string& text, int line) const {
    std::string markup;
    std::size_t copied = 0;
    for (auto next = opening_tags_.lower_bound({line, 0}); next != opening_tags_.end() && next->first.first == line;
         ++next) {
      const std::size_t begin = static_cast<std::size_t>(next->first.second) - 1;
      const std::size_t end = std::min(text.find_first_of(" |,", begin), text.size());
      markup += markup_escaped(text.substr(copied, begin - copied)) + next->second +
                markup_escaped(text.substr(begin, end - begin)) + "</span>";
      copied = end;
    }
    return markup + markup_escaped(text.substr(copied)) + "\n";
  }

 private:
  static double seconds(std::int64_t samples) { return static_cast<double>(samples) / tone_rate_hz; }
  static std::string name_with_place(const WrittenNote& note) {
    const std::string name = pitch_name(note.pitch);
    return note.bar && note.beat ? fmt::format("{}, bar {} beat {:g}", name, *note.bar, note.beat->value()) : name;
  }

  std::map<std::pair<int, int>, std::string> opening_tags_;
};

void add_melody_rows(Html& html, const Drill& drill, const NoteElements& notes) {
  const std::size_t begin = drill.melody.find("\n\n") + 2;
  int line =
      1 + static_cast<int>(std::count(drill.melody.begin(), drill.melody.begin() + static_cast<long>(begin), '\n'));
  std::istringstream rows(drill.melody.substr(begin));
  html.raw("<pre>");
  for (std::string row; std::getline(rows, row); ++line) html.raw(notes.row(row, line));
  html.raw("</pre>\n");
}

}  // namespace

void add_drill_notes(Html& html, const Drill& drill, std::string_view prefix) {
  add_melody_rows(html, drill, NoteElements(read_melody(drill.melody, drill.name), prefix));
  html.use_script();
  html.begin("div.drill", fmt::format(" data-prefix=\"{}\" role=\"group\" aria-label=\"Hear: {}\" hidden=\"hidden\"",
                                      prefix, markup_escaped(drill.title)));
  html.raw(
      "<p><button type=\"button\" data-do=\"whole\">Hear it</button>\n"
      "<button type=\"button\" data-do=\"stop\">Stop</button>\n"
      "<button type=\"button\" data-do=\"previous\">Previous note</button>\n"
      "<button type=\"button\" data-do=\"next\">Next note</button>\n<output></output></p>\n");
  html.end("div");
}

}  // namespace firmus::page
