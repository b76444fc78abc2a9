#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "base/base.hpp"
#include "base/diagnostics.hpp"
#include "beats.hpp"
#include "firmus/melody.hpp"
#include "source.hpp"

namespace firmus {
namespace melody {
namespace {

constexpr int page_width = 78;
constexpr int longest_title = 4 * page_width;

/// Wraps lines between pieces; only a piece longer than a line is broken. Lines after the first are indented.
template <typename Pieces>
std::string wrapped(const Pieces& pieces, int indent) {
  std::string page, line;
  const std::string margin(static_cast<std::size_t>(indent), ' ');
  for (std::string_view piece : pieces) {
    if (!line.empty() && code_points(line) + 1 + code_points(piece) > page_width) {
      page += line + "\n";
      line.clear();
    }
    line += line.empty() ? (page.empty() ? "" : margin) : " ";
    while (code_points(line) + code_points(piece) > page_width) {
      const std::string_view part = first_code_points(piece, page_width - code_points(line));
      page += fmt::format("{}{}\n", line, part);
      line = margin;
      piece.remove_prefix(part.size());
    }
    line += piece;
  }
  return page + line + "\n";
}

std::string wrapped_words(std::string_view text, int indent) {
  return wrapped(split_words(text), indent);
}

/// "2", "1.5", "1 1/3".
std::string readable(const Fraction& number) {
  std::string decimals = decimal_text(number, 3);
  if (!decimals.empty()) return decimals;
  if (number.num < number.den) return beats_text(number);
  return fmt::format("{} {}/{}", number.num / number.den, number.num % number.den, number.den);
}

std::string interval_text(const Interval& interval) {
  if (interval.direction == Direction::same) return interval_name(interval);
  return fmt::format("{} {}", interval_name(interval), to_string(interval.direction));
}

std::string settings_line(const Melody& melody) {
  std::vector<std::string> facts;
  facts.push_back(melody.key ? "key " + key_name(*melody.key) : "no key");
  facts.push_back(melody.meter ? fmt::format("meter {}/{}", melody.meter->count, melody.meter->unit) : "no meter");
  facts.push_back(melody.tempo_text.empty() ? "no tempo" : "tempo " + melody.tempo_text);
  const bool offsets = melody.tuning.kind == TuningKind::offsets;
  facts.push_back(fmt::format("A4 = {} Hz", melody.a4_hz.value()));
  facts.push_back(offsets ? "tuning by offsets " + tuning_name(melody.tuning) : tuning_name(melody.tuning) + " tuning");
  if (melody.sounds_semitones != 0)
    facts.push_back(fmt::format("sounds {} {} than written",
                                counted(fmt::to_string(std::abs(melody.sounds_semitones)), "semitone"),
                                melody.sounds_semitones < 0 ? "lower" : "higher"));
  if (melody.reference) facts.push_back(fmt::format("reference {}", to_string(*melody.reference)));
  if (melody.drill) facts.push_back(fmt::format("drill: {}", drill_aim_text(*melody.drill)));
  return fmt::format("{}", fmt::join(facts, ", "));
}

bool lower_than(const WrittenNote& a, const WrittenNote& b) {
  return std::pair(midi_key(a.pitch), a.pitch.deviation_cents) < std::pair(midi_key(b.pitch), b.pitch.deviation_cents);
}

std::string size_and_range(const Melody& melody) {
  const auto [lowest, highest] = std::minmax_element(melody.notes.begin(), melody.notes.end(), lower_than);
  std::string facts = counted(fmt::to_string(melody.notes.size()), "note");
  int first_bar = 0, last_bar = -1;
  for (const WrittenNote& note : melody.notes) {
    if (!note.bar) continue;
    if (last_bar < first_bar) first_bar = last_bar = *note.bar;
    first_bar = std::min(first_bar, *note.bar);
    last_bar = std::max(last_bar, *note.bar);
  }
  if (first_bar < last_bar) facts += fmt::format(", bars {} to {}", first_bar, last_bar);
  facts += ", " + counted(fmt::to_string(melody.notes.back().phrase), "phrase");
  return facts + fmt::format(", from {} to {} ({})", pitch_name(lowest->pitch), pitch_name(highest->pitch),
                             interval_name(interval_between(lowest->pitch, highest->pitch)));
}

/// The number of times that each interval occurs, ordered by size.
std::string intervals_line(const Melody& melody) {
  std::map<std::tuple<int, int, Direction>, int> times;
  for (std::size_t i = 1; i < melody.notes.size(); ++i) {
    const Interval interval = interval_between(melody.notes[i - 1].pitch, melody.notes[i].pitch);
    ++times[{interval.steps, interval.semitones, interval.direction}];
  }
  std::vector<std::string> entries{times.empty() ? "one note alone, no interval" : "intervals:"};
  for (const auto& [key, count] : times) {
    const auto [steps, semitones, direction] = key;
    const bool last = entries.size() == times.size();
    entries.push_back(fmt::format("{} ({}){}", interval_text({steps, semitones, direction}), count, last ? "" : ","));
  }
  return wrapped(entries, 2);
}

class Table {
 public:
  explicit Table(const Melody& melody) : melody_(melody) {}

  std::string write() {
    row("bar", "beat", "note", "beats", "interval", "word");
    for (const WrittenNote& note : melody_.notes) {
      headings(note);
      if (now_ < note.onset_quarters) rest(note);
      write_note(note);
      now_ = note.onset_quarters + note.length_quarters;
    }
    return std::move(text_);
  }

 private:
  void row(std::string_view bar, std::string_view beat, std::string_view note, std::string_view beats,
           std::string_view interval, std::string_view word) {
    std::string line = fmt::format("{:>5}  {:<7} {:<10} {:<11} {:<11} {}", bar, beat, note, beats, interval, word);
    line = first_code_points(line, page_width);
    while (line.back() == ' ') line.pop_back();
    text_ += line + "\n";
  }

  /// Blank lines between phrases, and the names of a new section and a new key.
  void headings(const WrittenNote& note) {
    const bool new_section = note.section != section_ || note.pass != pass_;
    if (note.phrase != phrase_ || new_section) text_ += "\n";
    if (new_section) {
      text_ += wrapped_words(
          fmt::format("section {}{}", note.section, note.pass > 1 ? fmt::format(", pass {}", note.pass) : ""), 0);
      bar_.reset();
    }
    if (note.key && note.key != key_ && note.index > 0) text_ += fmt::format("       key {}\n", key_name(*note.key));
    key_ = note.key;
    section_ = note.section;
    pass_ = note.pass;
    phrase_ = note.phrase;
  }

  /// The beats of a rest are in the beat unit of the note after it.
  void rest(const WrittenNote& next) {
    Fraction beats = next.onset_quarters - now_;
    if (!next.grace) beats = beats * next.beats / next.length_quarters;
    row("", "", "rest", readable(beats), "", "");
  }

  void write_note(const WrittenNote& note) {
    const std::string bar = note.bar && note.bar != bar_ ? fmt::to_string(*note.bar) : "";
    bar_ = note.bar;
    std::string beats = note.grace ? "grace" : readable(note.beats);
    if (note.mark == NoteMark::maybe) beats += " maybe";
    if (note.mark == NoteMark::free) beats += " free";
    const auto interval = interval_into(melody_, note.index);
    row(bar, note.beat ? readable(*note.beat) : "", pitch_name(note.pitch), beats,
        interval ? interval_text(*interval) : "", note.word.value_or(""));
  }

  const Melody& melody_;
  std::string text_;
  Fraction now_;
  std::string section_;
  int pass_ = 1;
  int phrase_ = 1;
  std::optional<int> bar_;
  std::optional<Key> key_;
};

std::string warnings_text(const Melody& melody) {
  std::string text;
  for (const Problem& warning : melody.warnings) {
    std::string line = "- ";
    if (warning.place.line > 0) line += fmt::format("line {}, column {}: ", warning.place.line, warning.place.column);
    line += display_name(warning.what);
    if (!warning.remedy.empty()) line += "; " + display_name(warning.remedy);
    text += wrapped_words(line, 2);
  }
  return text.empty() ? text : "\nTo check:\n" + text;
}

}  // namespace
}  // namespace melody

std::string describe_melody(const Melody& melody) {
  using namespace melody;
  std::string page = wrapped_words(
      melody.title.empty() ? "(no title)" : display_name(first_code_points(melody.title, longest_title)), 0);
  page += wrapped_words(settings_line(melody), 2) + wrapped_words(size_and_range(melody), 2) + intervals_line(melody);
  return page + "\n" + Table(melody).write() + warnings_text(melody);
}

}  // namespace firmus
