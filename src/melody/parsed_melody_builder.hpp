// Builds a ParsedMelody item by item, in the order of the file, and keeps track of the key, meter and tempo in effect.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "parsed_melody.hpp"

namespace firmus::melody {

class ParsedMelodyBuilder {
 public:
  explicit ParsedMelodyBuilder(Diagnostics& warnings) : warnings_(warnings) { parsed_.sections.emplace_back(); }

  ParsedMelody& parsed() { return parsed_; }
  /// Number of notes, rests, holds, breaths and bar lines so far.
  std::size_t token_count() const { return token_count_; }
  bool has_section(const std::string& name) const;
  bool notes_above() const { return block_begin_ < section().items.size(); }

  void open_section(std::string name, SourcePosition position);
  void set_key(const Key& key);
  /// None: no meter from here on.
  void set_meter(const std::optional<Meter>& meter);
  void set_tempo(Tempo tempo);
  void set_sounds(int semitones);
  /// The printed number of the bar that begins with the next item, and the beat (from 1) at which it begins.
  void set_bar(int number, std::optional<Fraction> beat);
  void add(Item item);
  void add_breath(SourcePosition position);
  void bar_line();
  /// A bar begins with the next item, without a line in the text.
  void end_bar() { ++bar_lines_; }
  /// Syllables for the notes after the previous words. A second call for the same pass appends to the first.
  void add_words(int pass, const std::vector<std::string_view>& syllables, SourcePosition position);

  /// The parsed melody, without an empty leading section.
  ParsedMelody finish();

 private:
  struct PassLine {
    SourcePosition position;
    std::vector<std::string> syllables;
  };
  Section& section() { return parsed_.sections.back(); }
  const Section& section() const { return parsed_.sections.back(); }
  void note_first_settings(const Item& item);
  void assign_words();
  void assign(int pass, const PassLine& line, const std::vector<Item*>& notes);

  Diagnostics& warnings_;
  ParsedMelody parsed_;
  std::optional<Key> key_;
  std::optional<Meter> meter_;
  std::optional<std::size_t> tempo_;
  int meter_change_ = 0;
  int bar_lines_ = 0;
  int sounds_ = 0;
  std::optional<int> bar_;
  std::optional<Fraction> bar_beat_;
  std::size_t token_count_ = 0;
  std::size_t block_begin_ = 0;          ///< first item of the section to which the next words apply
  std::map<int, PassLine> block_words_;  ///< by pass
};

}  // namespace firmus::melody
