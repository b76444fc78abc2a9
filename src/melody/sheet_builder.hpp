// Builds a Sheet item by item, in the order of the file, keeping what is in force.
#pragma once
#include <map>
#include <string>
#include <vector>

#include "sheet.hpp"

namespace firmus::sheet {

class SheetBuilder {
 public:
  explicit SheetBuilder(Diagnostics& warnings) : warnings_(warnings) { sheet_.sections.emplace_back(); }

  Sheet& sheet() { return sheet_; }
  /// Grows with every token of music: equal twice, nothing stood between.
  std::size_t music_tokens() const { return music_tokens_; }
  bool has_section(const std::string& name) const;
  bool notes_above() const { return block_begin_ < section().items.size(); }

  void open_section(std::string name, SourcePosition spot);
  void set_key(const Key& key);
  void set_meter(const Meter& meter);
  void set_tempo(Tempo tempo);
  void add(Item item);
  void add_breath(SourcePosition spot);
  void bar_line();
  /// Syllables for the notes since the words before; further ones of the same pass go on where these end.
  void add_words(int pass, const std::vector<std::string_view>& syllables, SourcePosition spot);

  /// The sheet, without a leading section that holds nothing.
  Sheet finish();

 private:
  struct PassLine {
    SourcePosition spot;
    std::vector<std::string> syllables;
  };
  Section& section() { return sheet_.sections.back(); }
  const Section& section() const { return sheet_.sections.back(); }
  void count_as_given(const Item& item);
  void hand_out_words();
  void hand_out(int pass, const PassLine& line, const std::vector<Item*>& notes);

  Diagnostics& warnings_;
  Sheet sheet_;
  std::optional<Key> key_;
  std::optional<Meter> meter_;
  std::optional<std::size_t> tempo_;
  int meter_change_ = 0;
  int bar_lines_ = 0;
  std::size_t music_tokens_ = 0;
  std::size_t block_begin_ = 0;          ///< first item of the section that the next words belong to
  std::map<int, PassLine> block_words_;  ///< by pass
};

}  // namespace firmus::sheet
