#include "parsed_melody_of.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "bars.hpp"
#include "headers.hpp"
#include "parsed_melody_builder.hpp"
#include "read.hpp"
#include "unroll.hpp"

namespace firmus::melody {
namespace {

bool same_note(const WrittenNote& a, const WrittenNote& b) {
  return a.pitch == b.pitch && a.beats == b.beats && a.onset_quarters == b.onset_quarters &&
         a.length_quarters == b.length_quarters && a.mark == b.mark && a.grace == b.grace && a.section == b.section &&
         a.pass == b.pass && a.bar == b.bar && a.beat == b.beat && a.phrase == b.phrase && a.word == b.word &&
         a.key == b.key && a.sounds_semitones == b.sounds_semitones && a.quarters_per_minute == b.quarters_per_minute;
}

std::optional<ParsedMelody> parsed_melody_of_text(const Melody& melody) {
  try {
    Diagnostics warnings("", "warning");
    ParsedMelody parsed = parse_melody(melody.text, "", warnings);
    const std::vector<WrittenNote> notes = unroll_melody(parsed, "").notes;
    const bool same = std::equal(notes.begin(), notes.end(), melody.notes.begin(), melody.notes.end(), same_note);
    return same ? std::optional(std::move(parsed)) : std::nullopt;
  } catch (const InputError&) {
    return std::nullopt;
  }
}

/// Bars of equal length.
struct BarGrid {
  Fraction origin, length;  ///< in quarters; bar 0 begins at the origin

  int bar_at(const Fraction& quarters) const {
    const Fraction bars = (quarters - origin) / length;
    return static_cast<int>(bars.num >= 0 ? bars.num / bars.den : -((-bars.num + bars.den - 1) / bars.den));
  }
  Fraction begin_of(int bar) const { return origin + Fraction(bar) * length; }
};

class ParsedMelodyFromNotes {
 public:
  explicit ParsedMelodyFromNotes(const Melody& melody)
      : melody_(melody), unit_(melody.meter ? melody.meter->unit : 4), warnings_("", "warning"), builder_(warnings_) {}

  ParsedMelody make() {
    if (melody_.meter) builder_.set_meter(*melody_.meter);
    grid_ = find_grid();
    const bool keep_sections = sections_are_played_once();
    any_words_ = std::any_of(melody_.notes.begin(), melody_.notes.end(),
                             [](const WrittenNote& n) { return n.word.has_value(); });
    for (const WrittenNote& note : melody_.notes) {
      if (keep_sections && note.section != section_) open(note.section);
      add(note);
    }
    if (grid_) builder_.bar_line();
    ParsedMelody parsed = builder_.finish();
    Diagnostics errors("", "error");
    resolve_order(parsed, errors, warnings_);
    count_bars(parsed, errors, warnings_);
    return parsed;
  }

 private:
  /// The grid through the first note's bar and beat, if the bars of all notes fit it.
  std::optional<BarGrid> find_grid() const {
    if (!melody_.meter || !melody_.notes.front().bar || !melody_.notes.front().beat) return std::nullopt;
    const WrittenNote& first = melody_.notes.front();
    const Fraction beats_before = Fraction(*first.bar) * Fraction(melody_.meter->count) + *first.beat - Fraction(1);
    const BarGrid grid{first.onset_quarters - beats_before * Fraction(4, unit_),
                       Fraction(melody_.meter->count) * Fraction(4, unit_)};
    for (const WrittenNote& note : melody_.notes)
      if (!note.grace && note.bar != grid.bar_at(note.onset_quarters)) return std::nullopt;
    return grid;
  }

  bool sections_are_played_once() const {
    std::set<std::string> left;
    const std::string* current = nullptr;
    for (const WrittenNote& note : melody_.notes) {
      if (note.section.empty() || note.pass != 1) return false;
      if (current && *current != note.section) left.insert(*current);
      if (left.contains(note.section)) return false;
      current = &note.section;
    }
    return true;
  }

  void open(const std::string& name) {
    builder_.open_section(name, {});
    section_ = name;
  }

  void add(const WrittenNote& note) {
    if (builder_.token_count() > 0 && note.phrase != phrase_) builder_.add_breath({});
    phrase_ = note.phrase;
    if (now_ < note.onset_quarters) add_span(ItemKind::rest, nullptr, now_, note.onset_quarters);
    if (note.key && note.key != key_) builder_.set_key(*note.key);
    key_ = note.key;
    builder_.set_sounds(note.sounds_semitones);
    set_tempo(note);
    add_span(ItemKind::note, &note, note.onset_quarters, note.onset_quarters + note.length_quarters);
    if (any_words_) builder_.add_words(1, {note.word ? std::string_view(*note.word) : "."}, {});
  }

  void set_tempo(const WrittenNote& note) {
    if (!note.quarters_per_minute || note.quarters_per_minute == quarters_per_minute_) return;
    const bool is_first = !quarters_per_minute_;
    quarters_per_minute_ = note.quarters_per_minute;
    auto tempo = is_first ? parse_tempo(melody_.tempo_text) : std::nullopt;
    if (tempo) tempo->unit = unit_;
    if (!tempo || tempo->quarters_per_minute() != *quarters_per_minute_)
      tempo = parse_tempo(fmt::format("{:.7g}", *quarters_per_minute_ * unit_ / 4.0));
    if (tempo) builder_.set_tempo(std::move(*tempo));
  }

  /// Adds a note or rest, split at bar lines; the later parts of a note are holds.
  void add_span(ItemKind kind, const WrittenNote* note, Fraction begin, const Fraction& end) {
    while (true) {
      Fraction stop = end;
      if (grid_) {
        const int bar = note && kind == ItemKind::note && note->bar ? *note->bar : grid_->bar_at(begin);
        if (bar_ && bar != *bar_) builder_.bar_line();
        bar_ = bar;
        stop = std::min(end, grid_->begin_of(bar + 1), [](const Fraction& a, const Fraction& b) { return a < b; });
      }
      add_item(kind, note, stop - begin);
      begin = stop;
      if (!(begin < end)) break;
      if (kind == ItemKind::note) kind = ItemKind::hold;
    }
    now_ = end;
  }

  void add_item(ItemKind kind, const WrittenNote* note, const Fraction& quarters) {
    Item item;
    item.kind = kind;
    item.beats = quarters * Fraction(unit_, 4);
    if (kind == ItemKind::note) {
      item.pitch = note->pitch;
      item.mark = note->mark;
    }
    builder_.add(std::move(item));
  }

  const Melody& melody_;
  int unit_;
  Diagnostics warnings_;
  ParsedMelodyBuilder builder_;
  std::optional<BarGrid> grid_;
  std::optional<int> bar_;
  std::string section_;
  bool any_words_ = false;
  Fraction now_;
  int phrase_ = 1;
  std::optional<Key> key_;
  std::optional<double> quarters_per_minute_;
};

}  // namespace

ParsedMelody parsed_melody_of(const Melody& melody) {
  if (auto parsed = parsed_melody_of_text(melody)) return std::move(*parsed);
  return ParsedMelodyFromNotes(melody).make();
}

}  // namespace firmus::melody
