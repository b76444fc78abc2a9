#include "sheet_builder.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "source.hpp"

namespace firmus::sheet {

std::optional<std::string> word_in_pass(const Item& item, int pass) {
  std::optional<std::string> word;
  for (const PassWord& entry : item.words)
    if (entry.pass <= pass) word = entry.syllable;
  return word;
}

bool SheetBuilder::has_section(const std::string& name) const {
  return std::any_of(sheet_.sections.begin(), sheet_.sections.end(),
                     [&](const Section& known) { return known.name == name; });
}

void SheetBuilder::open_section(std::string name, SourcePosition spot) {
  hand_out_words();
  sheet_.sections.push_back({std::move(name), spot, {}});
  block_begin_ = 0;
}

void SheetBuilder::set_key(const Key& key) {
  key_ = key;
}

void SheetBuilder::set_meter(const Meter& meter) {
  meter_ = meter;
  ++meter_change_;
}

void SheetBuilder::set_tempo(Tempo tempo) {
  tempo_ = sheet_.tempos.size();
  sheet_.tempos.push_back(std::move(tempo));
}

// A key, meter or tempo that no music stands under says nothing of the melody.
void SheetBuilder::count_as_given(const Item& item) {
  if (!sheet_.first_key) sheet_.first_key = key_;
  if (!sheet_.first_meter) sheet_.first_meter = meter_;
  if (!tempo_) return;
  Tempo& tempo = sheet_.tempos[*tempo_];
  if (!tempo.unit) tempo.unit = item.unit();
  if (!sheet_.first_tempo) sheet_.first_tempo = tempo_;
}

void SheetBuilder::add(Item item) {
  ++music_tokens_;
  if (!block_words_.empty()) {
    hand_out_words();
    block_begin_ = section().items.size();
  }
  item.key = key_;
  item.meter = meter_;
  item.meter_change = meter_change_;
  item.tempo = tempo_;
  item.bar_lines = bar_lines_;
  if (item.kind != ItemKind::breath) count_as_given(item);
  section().items.push_back(std::move(item));
}

void SheetBuilder::add_breath(SourcePosition spot) {
  Item breath;
  breath.kind = ItemKind::breath;
  breath.beats = Fraction(0);
  breath.spot = spot;
  add(std::move(breath));
}

void SheetBuilder::bar_line() {
  ++music_tokens_;
  ++bar_lines_;
  if (meter_) sheet_.has_bar_lines = true;
}

void SheetBuilder::add_words(int pass, const std::vector<std::string_view>& syllables, SourcePosition spot) {
  PassLine& line = block_words_.try_emplace(pass, PassLine{spot, {}}).first->second;
  line.syllables.insert(line.syllables.end(), syllables.begin(), syllables.end());
}

void SheetBuilder::hand_out_words() {
  std::vector<Item*> notes;
  for (std::size_t i = block_begin_; i < section().items.size(); ++i)
    if (section().items[i].kind == ItemKind::note) notes.push_back(&section().items[i]);
  for (const auto& [pass, line] : block_words_) hand_out(pass, line, notes);
  block_words_.clear();
}

// A grace note shares the syllable of the note after it, unless the words have one for every note, graces and all.
void SheetBuilder::hand_out(int pass, const PassLine& line, const std::vector<Item*>& notes) {
  const bool graces_too = line.syllables.size() == notes.size();
  std::size_t next = 0, takers = 0;
  for (Item* note : notes) {
    std::optional<std::string> syllable;
    if (graces_too || !note->is_grace()) {
      ++takers;
      if (next < line.syllables.size() && line.syllables[next] != ".") syllable = line.syllables[next];
      ++next;
    }
    note->words.push_back({pass, std::move(syllable)});
  }
  if (takers != line.syllables.size())
    warnings_.add(line.spot,
                  fmt::format("the words have {} for {}", counted(fmt::to_string(line.syllables.size()), "syllable"),
                              counted(fmt::to_string(takers), "note")),
                  "write \".\" for a note with no syllable of its own");
}

Sheet SheetBuilder::finish() {
  hand_out_words();
  if (sheet_.sections.size() > 1 && sheet_.sections.front().items.empty())
    sheet_.sections.erase(sheet_.sections.begin());
  return std::move(sheet_);
}

}  // namespace firmus::sheet
