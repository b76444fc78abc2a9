// The melody as it stands on the sheet, before it is played out: sections, each item with what is in force where it
// stands (key, meter, tempo). Text and CSV both become a Sheet; playing it out makes the notes of a Melody.
//
//   text  --text_reader-->  Sheet  --order, bars, key_check-->  Sheet  --play-->  notes  --retuned-->  Melody
//   CSV   --csv_reader---/                                        ^--parsed_melody_of--  Melody  (text_writer,
//   csv_writer)
//
// What the format leaves open, and what is done:
// - Key, meter and tempo hold from where they are *printed*: a section played again has those it is written under. A
//   tempo's unit is the meter's where it first counts; a new meter alone does not change the speed of a quarter note.
// - Bars are numbered as printed, through all sections; a section played again has the same numbers. `meter:` and
//   `section:` end a bar. Two short parts of a bar on both sides of a section's begin are one bar, if together they
//   fill it; the last bar may lack the upbeat. A melody with a meter and no bar line has its bars counted by the meter.
// - A word of pass N without `words N:` is that of the nearest earlier pass (a refrain); grace notes take a syllable
// only
//   when the words have one for every note. Syllables go to the notes since the words before, or the section's begin.
// - A hold continues the note before it in playing order, also into a section; after a rest, a breath or a grace note
// it
//   is an error. Only a breath ends a phrase. Phrases are numbered as played.
// - The commonest mistakes are told in one error for the whole: "F #4", "C4 2", "C4:1,5", "Es4", "title:Song".
#pragma once
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "base/diagnostics.hpp"
#include "firmus/melody.hpp"

namespace firmus::melody {

enum class ItemKind { note, rest, hold, breath };

/// The syllable that a pass gives to a note; none for "." and where the words ran out.
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
  std::vector<PassWord> words;  ///< by pass, rising; only the passes that the words below the note give

  // In force where it stands; filled in by ParsedMelodyBuilder.
  std::optional<Key> key;
  std::optional<Meter> meter;
  int meter_change = 0;              ///< how many `meter:` lines stand before it: each starts a bar
  std::optional<std::size_t> tempo;  ///< index into Sheet::tempos
  int bar_lines = 0;                 ///< how many bar lines stand before it
  std::optional<int> given_bar;      ///< the bar number that a CSV gives it

  // Filled in by count_bars.
  std::optional<int> bar;
  std::optional<Fraction> beat;

  bool is_grace() const { return kind == ItemKind::note && beats == Fraction(0); }
  int unit() const { return meter ? meter->unit : 4; }
  Fraction quarters() const { return beats * Fraction(4, unit()); }
};

struct Section {
  std::string name;  ///< empty: the melody has no sections, or this stands before the first
  SourcePosition position;
  std::vector<Item> items;
};

struct Tempo {
  std::string text;  ///< as written: "96", "3 = 60"
  Fraction units_per_minute;
  std::optional<int> unit;  ///< lower figure of the meter where it first counts; later meters do not change the speed

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
  std::optional<LocatedName> tuning;       ///< as written; read when the key is known
  double a4_hz = 440.0;
  int sounds_semitones = 0;
  std::optional<Reference> reference;
  std::optional<DrillAim> drill;
  SourcePosition drill_position;
  std::vector<LocatedName> declared_order;
  std::vector<Tempo> tempos;
  std::vector<Section> sections;
  std::vector<std::size_t> order;  ///< sections in playing order; filled in by resolve_order
  bool has_bar_lines = false;      ///< under a meter; without any, bars are counted by the meter
};

/// Which word a note has in a pass: that pass's, else the nearest earlier one's (a refrain is sung again).
std::optional<std::string> word_in_pass(const Item& item, int pass);

}  // namespace firmus::melody
