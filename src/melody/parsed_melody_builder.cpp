#include "parsed_melody_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "source.hpp"

namespace firmus::melody {

std::optional<std::string> word_in_pass(const Item& item, int pass) {
  std::optional<std::string> word;
  for (const PassWord& entry : item.words)
    if (entry.pass <= pass) word = entry.syllable;
  return word;
}

bool ParsedMelodyBuilder::has_section(const std::string& name) const {
  return std::any_of(parsed_.sections.begin(), parsed_.sections.end(),
                     [&](const Section& known) { return known.name == name; });
}

void ParsedMelodyBuilder::open_section(std::string name, SourcePosition position) {
  assign_words();
  parsed_.sections.push_back({std::move(name), position, {}});
  block_begin_ = 0;
}

void ParsedMelodyBuilder::set_key(const Key& key) {
  key_ = key;
}

void ParsedMelodyBuilder::set_meter(const std::optional<Meter>& meter) {
  meter_ = meter;
  ++meter_change_;
}

void ParsedMelodyBuilder::set_tempo(Tempo tempo) {
  tempo_ = parsed_.tempos.size();
  parsed_.tempos.push_back(std::move(tempo));
}

void ParsedMelodyBuilder::set_sounds(int semitones) {
  if (token_count_ == 0) parsed_.sounds_semitones = semitones;
  sounds_ = semitones;
}

void ParsedMelodyBuilder::set_bar(int number, std::optional<Fraction> beat) {
  bar_ = number;
  bar_beat_ = beat;
}

// A key, meter or tempo is recorded as the first one only when an item follows it.
void ParsedMelodyBuilder::note_first_settings(const Item& item) {
  if (!parsed_.first_key) parsed_.first_key = key_;
  if (!parsed_.first_meter) parsed_.first_meter = meter_;
  if (!tempo_) return;
  Tempo& tempo = parsed_.tempos[*tempo_];
  if (!tempo.unit) tempo.unit = item.unit();
  if (!parsed_.first_tempo) parsed_.first_tempo = tempo_;
}

void ParsedMelodyBuilder::add(Item item) {
  ++token_count_;
  if (!block_words_.empty()) {
    assign_words();
    block_begin_ = section().items.size();
  }
  item.key = key_;
  item.meter = meter_;
  item.meter_change = meter_change_;
  item.tempo = tempo_;
  item.bar_lines = bar_lines_;
  item.sounds_semitones = sounds_;
  if (item.kind != ItemKind::breath) {
    note_first_settings(item);
    if (bar_) {
      item.given_bar = std::exchange(bar_, std::nullopt);
      item.given_beat = std::exchange(bar_beat_, std::nullopt);
    }
  }
  section().items.push_back(std::move(item));
}

void ParsedMelodyBuilder::add_breath(SourcePosition position) {
  Item breath;
  breath.kind = ItemKind::breath;
  breath.beats = Fraction(0);
  breath.position = position;
  add(std::move(breath));
}

void ParsedMelodyBuilder::bar_line() {
  ++token_count_;
  ++bar_lines_;
  if (meter_) parsed_.has_bar_lines = true;
}

void ParsedMelodyBuilder::add_words(int pass, const std::vector<std::string_view>& syllables, SourcePosition position) {
  PassLine& line = block_words_.try_emplace(pass, PassLine{position, {}}).first->second;
  line.syllables.insert(line.syllables.end(), syllables.begin(), syllables.end());
}

void ParsedMelodyBuilder::assign_words() {
  std::vector<Item*> notes;
  for (std::size_t i = block_begin_; i < section().items.size(); ++i)
    if (section().items[i].kind == ItemKind::note) notes.push_back(&section().items[i]);
  for (const auto& [pass, line] : block_words_) assign(pass, line, notes);
  block_words_.clear();
}

// A grace note gets no syllable, unless there is one for every note including grace notes.
void ParsedMelodyBuilder::assign(int pass, const PassLine& line, const std::vector<Item*>& notes) {
  const bool graces_too = line.syllables.size() == notes.size();
  std::size_t next = 0, words_wanted = 0;
  for (Item* note : notes) {
    std::optional<std::string> syllable;
    if (graces_too || !note->is_grace()) {
      ++words_wanted;
      if (next < line.syllables.size() && line.syllables[next] != ".") syllable = line.syllables[next];
      ++next;
    }
    note->words.push_back({pass, std::move(syllable)});
  }
  if (words_wanted != line.syllables.size())
    warnings_.add(line.position,
                  fmt::format("the words have {} for {}", counted(fmt::to_string(line.syllables.size()), "syllable"),
                              counted(fmt::to_string(words_wanted), "note")),
                  "write \".\" for a note with no syllable of its own");
}

ParsedMelody ParsedMelodyBuilder::finish() {
  assign_words();
  if (parsed_.sections.size() > 1 && parsed_.sections.front().items.empty())
    parsed_.sections.erase(parsed_.sections.begin());
  return std::move(parsed_);
}

}  // namespace firmus::melody
