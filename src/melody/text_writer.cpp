#include "text_writer.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "beats.hpp"
#include "parsed_melody_of.hpp"
#include "source.hpp"
#include "tokens.hpp"

namespace firmus {
namespace melody {
namespace {

constexpr int widest_row = 78;
constexpr int wide_enough = 52;  ///< a row ends at the first bar line after this column

/// The title on one line, cut where a comment would begin.
std::string title_text(std::string title) {
  for (char& c : title)
    if (static_cast<unsigned char>(c) < 0x20) c = ' ';
  constexpr std::string_view begin = "title: ";
  const std::string line = fmt::format("{}{}", begin, title);
  return std::string(trimmed(without_comment(line).substr(begin.size())));
}

std::string token_of(const Item& item) {
  if (item.kind == ItemKind::breath) return ",";
  std::string token = item.kind == ItemKind::rest   ? "rest"
                      : item.kind == ItemKind::hold ? "hold"
                                                    : pitch_name(item.pitch);
  if (!(item.beats == Fraction(1)) || item.mark != NoteMark::none) token += fmt::format(":{}", beats_text(item.beats));
  if (item.mark == NoteMark::maybe) token += ":maybe";
  if (item.mark == NoteMark::free) token += ":free";
  return token;
}

/// The passes that have words for this note; without any, the first one, since every row of a section with words gets a
/// line of words.
std::vector<int> passes_of(const Item& item) {
  if (item.words.empty()) return {1};
  std::vector<int> passes;
  for (const PassWord& word : item.words) passes.push_back(word.pass);
  return passes;
}

class TextWriter {
 public:
  TextWriter(const ParsedMelody& parsed, const Melody& melody) : parsed_(parsed), melody_(melody) {}

  std::string write() {
    if (!melody_.title.empty()) header("title", title_text(melody_.title));
    for (const Section& section : parsed_.sections)
      if (!section.items.empty()) {
        state_before(section.items.front());
        break;
      }
    if (const std::string tuning = tuning_name(melody_.tuning); tuning != "equal") header("tuning", tuning);
    if (melody_.a4_hz != Hertz(440)) header("a4", fmt::format("{}", melody_.a4_hz.value()));
    if (melody_.reference) header("reference", to_string(*melody_.reference));
    if (melody_.drill) header("drill", drill_aim_text(*melody_.drill));
    if (!parsed_.declared_order.empty()) order();
    for (const Section& section : parsed_.sections) write_section(section);
    return std::move(text_);
  }

 private:
  void header(std::string_view name, std::string_view value) { text_ += fmt::format("{}: {}\n", name, value); }

  void order() {
    std::vector<std::string_view> names;
    for (const LocatedName& named : parsed_.declared_order) names.push_back(named.name);
    header("order", fmt::format("{}", fmt::join(names, " ")));
  }

  /// Header lines for the key, meter and tempo that change at the item.
  void state_before(const Item& item) {
    if (item.key != key_ || item.meter_change != meter_change_ || item.tempo != tempo_ ||
        item.sounds_semitones != sounds_)
      flush_row();
    if (item.key && item.key != key_) header("key", key_name(*item.key));
    if (item.meter_change != meter_change_)
      header("meter", item.meter ? fmt::format("{}/{}", item.meter->count, item.meter->unit) : "none");
    if (item.tempo && item.tempo != tempo_) header("tempo", parsed_.tempos[*item.tempo].text);
    if (item.sounds_semitones != sounds_) header("sounds", fmt::format("{}", item.sounds_semitones));
    sounds_ = item.sounds_semitones;
    key_ = item.key;
    meter_change_ = item.meter_change;
    tempo_ = item.tempo;
  }

  void bar_before(const Item& item) {
    if (!item.bar_needs_number) return;
    flush_row();
    header("bar", item.bar_needs_beat ? fmt::format("{} beat {}", *item.given_bar, beats_text(*item.given_beat))
                                      : fmt::format("{}", *item.given_bar));
  }

  void write_section(const Section& section) {
    text_ += "\n";
    if (!section.name.empty()) header("section", section.name);
    has_words_ =
        std::any_of(section.items.begin(), section.items.end(), [](const Item& item) { return !item.words.empty(); });
    const Item* before = nullptr;
    for (const Item& item : section.items) {
      if (item.kind != ItemKind::breath) {
        if (before && (before->meter || before->bar) && before->bar_lines != item.bar_lines) end_bar();
        state_before(item);
        bar_before(item);
        before = &item;
      }
      if (item.kind == ItemKind::note) separate_word_blocks(item);
      add_token(token_of(item));
      if (item.kind == ItemKind::note) row_notes_.push_back(&item);
    }
    if (before && before->meter && parsed_.has_bar_lines) add_token("|");
    flush_row();
  }

  void end_bar() {
    add_token("|");
    if (static_cast<int>(row_.size()) > wide_enough) flush_row();
  }

  void separate_word_blocks(const Item& note) {
    if (!row_notes_.empty() && passes_of(*row_notes_.back()) != passes_of(note)) flush_row();
  }

  void add_token(const std::string& token) {
    if (static_cast<int>(row_.size() + 1 + token.size()) > widest_row) flush_row();
    if (!row_.empty()) row_ += ' ';
    row_ += token;
  }

  void flush_row() {
    if (!row_.empty()) text_ += row_ + "\n";
    row_.clear();
    if (has_words_ && !row_notes_.empty()) write_words();
    row_notes_.clear();
  }

  // Every row of a section with words gets a line of words, because words apply to all notes above that have none yet.
  void write_words() {
    const std::vector<int> passes = passes_of(*row_notes_.front());
    for (std::size_t i = 0; i < passes.size(); ++i) {
      const auto syllable = [&](const Item* note) {
        return i < note->words.size() ? note->words[i].syllable : std::nullopt;
      };
      const bool graces_too = std::any_of(row_notes_.begin(), row_notes_.end(),
                                          [&](const Item* note) { return note->is_grace() && syllable(note); });
      std::string line = passes[i] == 1 ? "words:" : fmt::format("words {}:", passes[i]);
      for (const Item* note : row_notes_)
        if (graces_too || !note->is_grace()) line += fmt::format(" {}", syllable(note).value_or("."));
      text_ += line + "\n";
    }
  }

  const ParsedMelody& parsed_;
  const Melody& melody_;
  std::string text_, row_;
  std::vector<const Item*> row_notes_;
  bool has_words_ = false;
  std::optional<Key> key_;
  int meter_change_ = 0;
  int sounds_ = 0;
  std::optional<std::size_t> tempo_;
};

}  // namespace

std::string text_of(const ParsedMelody& parsed, const Melody& head) {
  return TextWriter(parsed, head).write();
}

}  // namespace melody

std::string melody_as_text(const Melody& melody) {
  return melody::text_of(melody::parsed_melody_of(melody), melody);
}

}  // namespace firmus
