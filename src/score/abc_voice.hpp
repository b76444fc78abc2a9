// One voice of an ABC tune: its lines of music, words and fields, one after the other -> Part.
#pragma once
#include <array>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "abc.hpp"
#include "remarks.hpp"
#include "score.hpp"

namespace firmus::score {

class AbcVoice {
 public:
  AbcVoice(std::string id, std::size_t& note_count, const std::string& file)
      : id_(std::move(id)), note_count_(note_count), file_(file) {
    measures_.emplace_back();
  }

  const std::string& id() const { return id_; }
  void set_name(std::string name) { name_ = std::move(name); }
  void field(char kind, std::string_view value);
  void music(std::string_view line);
  /// A w: line; those that follow each other without music between are verses.
  void words(std::string_view line);
  /// `order`: of the parts, from the P: field of the header; may be empty.
  Part finish(std::string_view order);
  bool has_content() const { return measures_.size() > 1 || Fraction(0) < now_ || !measures_.back().notes.empty(); }

 private:
  struct Accidental {
    bool given = false;
    int cents = 0;
  };
  struct Tuplet {
    Fraction factor{1};
    int notes_left = 0;
  };

  Measure& measure() { return measures_.back(); }
  void bar(std::string_view run, std::string_view numbers);
  void close_measure(bool ends_ending);
  void begin_ending(std::string_view numbers);
  std::size_t take_bar(std::string_view text);
  std::size_t take_bracket(std::string_view text);
  void take_tuplet(std::string_view& text);
  void take_broken_rhythm(std::string_view& text);
  void take_grace(std::string_view& text);
  void take_chord(std::string_view& text);
  void take_note(std::string_view& text);
  void take_rest(std::string_view& text);
  void decorate(std::string_view name);
  void shorthand(char sign);
  std::optional<Note> parse_note(std::string_view& text);
  Accidental take_accidental(std::string_view& text) const;
  Fraction length_of(const Fraction& multiple);
  void place(Note note);
  void pass(const Fraction& length);
  void set_key(std::string_view value);
  Change& change_here();
  void number_measures(Part& part);

  std::string id_, name_;
  std::size_t& note_count_;
  const std::string& file_;
  Remarks remarks_;
  std::vector<Measure> measures_;
  std::vector<std::pair<char, std::size_t>> parts_;  ///< letters of P: with their first measure
  std::vector<std::size_t> codas_;                   ///< measures with a coda sign
  std::map<char, std::string> symbols_{{'H', "fermata"}, {'O', "coda"}, {'S', "segno"}};
  std::optional<Meter> meter_;
  bool meter_printed_ = false, meter_given_ = false;
  std::optional<Fraction> unit_;
  AbcKey key_;
  AbcClef clef_;
  std::array<Accidental, 7> in_bar_{};
  std::optional<Note> tied_;  ///< the note before, if a tie stands behind it
  Fraction now_;
  Tuplet tuplet_;
  Fraction broken_{1};              ///< factor of the next note
  std::optional<Fraction> before_;  ///< length of the note or rest before, for a broken rhythm
  bool before_is_note_ = false;
  bool fermata_ = false, breath_ = false;  ///< of the next note
  bool overlay_ = false;                   ///< within & ... up to the next bar line
  bool in_ending_ = false, repeat_between_ = false;
  std::vector<bool> after_repeat_;  ///< by measure: a repeat sign stands before it
  struct Sung {
    std::size_t measure, note;
  };
  std::vector<Sung> unsung_;  ///< notes since the last w:
  std::vector<Sung> sung_;    ///< those to which the last w: went
  int verse_ = 0;
};

}  // namespace firmus::score
