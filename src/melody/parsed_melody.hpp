// The melody as written, before its sections are unrolled: each item with the key, meter and tempo in effect there.
// Text and CSV are both parsed into a ParsedMelody; unrolling it gives the notes of a Melody.
//
//   text  --text_reader-->  ParsedMelody  --section_order, bars, key_check-->  ParsedMelody  --unroll, with_tuning-->
//   Melody CSV   --csv_reader--->  ParsedMelody                                       (the same) Melody
//   --parsed_melody_of-->  ParsedMelody  --text_writer, csv_writer-->  text, CSV
//
// Decisions that the format leaves open:
//
// - Key, meter and tempo apply from where they are *printed*: a section played again keeps those above it. The unit of
//   a tempo is that of the meter at its first note; a new meter alone does not change the speed of a quarter note.
//
// - Bars are numbered as printed, through all sections; a section played again has the same numbers. `bar: 12` numbers
//   the bar that begins there, `bar: 12 beat 3` says that it is the rest of one. `meter:`, `section:` and `bar:` end a
//   bar. Two short bars, at the end of a section and at the start of the next, are one bar if together they fill it;
//   the last bar may lack the upbeat. With a meter and no bar line, bars are counted by the meter.
//
// - Without `words N:`, pass N has the words of the nearest earlier pass (a refrain). Grace notes get a syllable only
//   if there is one for every note. Syllables apply to the notes after the previous words, or from the section's start.
//
// - A hold continues the note before it in playing order, also across sections; after a rest, a breath or a grace note
//   it is an error. Only a breath ends a phrase. Phrases are numbered in playing order.
//
// - The most common mistakes give one error for the whole: "F #4", "C4 2", "C4:1,5", "Es4", "title:Song".
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/diagnostics.hpp"
#include "firmus/melody.hpp"

namespace firmus::melody {

enum class ItemKind { note, rest, hold, breath };

/// The syllable of a note in a pass; none for "." and when there are fewer syllables than notes.
struct PassWord {
  int pass = 1;
  std::optional<std::string> syllable;
};

struct Item {
  ItemKind kind = ItemKind::note;
  SpelledPitch pitch;  ///< of a note
  Fraction beats{1};   ///< in the unit of the meter in force; 0 for a grace note and a breath
  NoteMark mark = NoteMark::none;
  SourcePosition position;
  std::vector<PassWord> words;  ///< by ascending pass; only passes for which words are written

  // In effect at the item; set by ParsedMelodyBuilder.
  std::optional<Key> key;
  std::optional<Meter> meter;
  int meter_change = 0;                ///< number of `meter:` lines before it; each starts a bar
  std::optional<std::size_t> tempo;    ///< index into ParsedMelody::tempos
  int bar_lines = 0;                   ///< number of bar lines before it
  std::optional<int> given_bar;        ///< its bar number in a CSV, or where a bar is numbered by itself
  std::optional<Fraction> given_beat;  ///< where its bar then begins, from 1
  int sounds_semitones = 0;

  // Set by count_bars.
  std::optional<int> bar;
  std::optional<Fraction> beat;
  // At the begin of a bar: whether its number, or its first beat, would be another if it were not given.
  bool bar_needs_number = false, bar_needs_beat = false;

  bool is_grace() const { return kind == ItemKind::note && beats == Fraction(0); }
  int unit() const { return meter ? meter->unit : 4; }
  Fraction quarters() const { return beats * Fraction(4, unit()); }
};

struct Section {
  std::string name;  ///< empty: the melody has no sections, or this is before the first one
  SourcePosition position;
  std::vector<Item> items;
};

struct Tempo {
  std::string text;  ///< as written: "96", "3 = 60"
  Fraction units_per_minute;
  std::optional<int> unit;  ///< lower figure of the meter at its first note; later meters do not change the speed

  double quarters_per_minute() const { return units_per_minute.value() * 4.0 / unit.value_or(4); }
};

struct LocatedName {
  std::string name;
  SourcePosition position;
};

struct ParsedMelody {
  std::string title;
  std::optional<Key> first_key;
  std::optional<Meter> first_meter;
  std::optional<std::size_t> first_tempo;  ///< index into tempos
  std::optional<LocatedName> tuning;       ///< as written; parsed when the key is known
  Hertz a4_hz = Hertz(440);
  int sounds_semitones = 0;
  std::optional<Reference> reference;
  std::optional<DrillAim> drill;
  SourcePosition drill_position;
  std::vector<LocatedName> declared_order;
  std::vector<Tempo> tempos;
  std::vector<Section> sections;
  std::vector<std::size_t> order;  ///< sections in playing order; set by resolve_order
  bool has_bar_lines = false;      ///< under a meter; without bar lines, bars are counted by the meter
};

/// The word of a note in a pass; if the pass has no words, that of the nearest earlier pass (a refrain).
std::optional<std::string> word_in_pass(const Item& item, int pass);

}  // namespace firmus::melody
