#include "csv_performed.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "csv_reader.hpp"
#include "headers.hpp"
#include "note_token.hpp"
#include "parsed_melody_builder.hpp"
#include "source.hpp"

namespace firmus::melody {
namespace {

using CsvRowFields = std::vector<CsvField>;

constexpr std::array<std::string_view, 12> performed_names{"written", "start_beats",   "beats", "bar",
                                                           "beat",    "sounding_midi", "word",  "grace",
                                                           "fermata", "phrase",        "maybe", "meter"};
enum Performed : std::size_t {
  written_column,
  start_column,
  length_column,
  bar_number_column,
  beat_column,
  sounding_column,
  syllable_column,
  grace_column,
  fermata_column,
  phrase_number_column,
  maybe_column,
  meter_column
};

struct PerformedNote {
  Item item;
  Fraction start, end;
  std::optional<int> bar, phrase;
  std::optional<Fraction> beat;
  std::optional<Meter> meter;
  int sounds = 0;
  std::string word;
};

/// "4", "4.5", "1/3" and "4 1/3".
std::variant<Fraction, TokenError> parse_mixed(std::string_view text) {
  const std::size_t space = text.find(' ');
  if (space == std::string_view::npos) return parse_beats(text);
  const auto whole = parse_beats(text.substr(0, space)), part = parse_beats(trimmed(text.substr(space)));
  if (!std::holds_alternative<Fraction>(whole)) return whole;
  if (!std::holds_alternative<Fraction>(part)) return part;
  return std::get<Fraction>(whole) + std::get<Fraction>(part);
}

bool is_yes(std::string_view text) {
  const std::string word = lower_ascii(text);
  return word == "1" || word == "true" || word == "yes";
}

class PerformedReader {
 public:
  PerformedReader(Diagnostics& errors, Diagnostics& warnings) : errors_(errors), builder_(warnings) {}

  ParsedMelody read(const std::vector<CsvRowFields>& rows) {
    for (std::size_t i = 0; i < rows.front().size(); ++i) {
      const auto known = std::find(performed_names.begin(), performed_names.end(), lower_ascii(rows.front()[i].text));
      if (known != performed_names.end()) place_.at(static_cast<std::size_t>(known - performed_names.begin())) = i;
    }
    std::vector<PerformedNote> notes;
    for (std::size_t i = 1; i < rows.size(); ++i)
      if (auto note = row(rows[i])) notes.push_back(std::move(*note));
    if (errors_.any()) return builder_.finish();
    any_words_ = std::any_of(notes.begin(), notes.end(), [](const PerformedNote& n) { return !n.word.empty(); });
    for (std::size_t i = 0; i < notes.size(); ++i) add(notes[i], i + 1 < notes.size() ? &notes[i + 1] : nullptr);
    hold_until(held_until_, {});
    if (bar_) builder_.bar_line();
    return builder_.finish();
  }

 private:
  const CsvField* field(const CsvRowFields& row, Performed column) const {
    const auto place = place_.at(column);
    return place && *place < row.size() && !row[*place].text.empty() ? &row[*place] : nullptr;
  }

  std::optional<Fraction> number(const CsvRowFields& row, Performed column) {
    const CsvField* text = field(row, column);
    if (!text) return std::nullopt;
    const auto parsed = parse_mixed(text->text);
    if (const auto* error = std::get_if<TokenError>(&parsed)) {
      errors_.add(text->position, error->what, error->remedy);
      return std::nullopt;
    }
    return std::get<Fraction>(parsed);
  }

  std::optional<PerformedNote> row(const CsvRowFields& row) {
    const CsvField* written = field(row, written_column);
    const auto start = number(row, start_column), length = number(row, length_column);
    if (!written || !start || !length) {
      errors_.add(row.front().position, "the row lacks its note, start or length",
                  "fill in written, start_beats and beats");
      return std::nullopt;
    }
    auto parsed = parse_note_token(written->text);
    const auto* item = std::get_if<Item>(&parsed);
    if (!item || item->kind != ItemKind::note || written->text.find(':') != std::string::npos) {
      const auto* error = std::get_if<TokenError>(&parsed);
      errors_.add(written->position, error ? error->what : fmt::format("{} is not a note", in_quotes(written->text)),
                  error ? error->remedy : "write one such as F#4");
      return std::nullopt;
    }
    PerformedNote note;
    note.item = *item;
    note.item.position = written->position;
    note.item.beats = *length;
    note.start = *start;
    note.end = *start + *length;
    read_place(row, note);
    read_marks(row, note);
    return note;
  }

  void read_place(const CsvRowFields& row, PerformedNote& note) {
    constexpr int largest = 100000;
    if (const CsvField* bar = field(row, bar_number_column)) {
      note.bar = parse_whole(bar->text, 0, largest);
      if (!note.bar)
        errors_.add(bar->position, fmt::format("{} is not a number of a bar", in_quotes(bar->text)),
                    "write a whole number from 0");
    }
    if (note.bar) note.beat = number(row, beat_column);
    if (const CsvField* phrase = field(row, phrase_number_column)) {
      note.phrase = parse_whole(phrase->text, 1, largest);
      if (!note.phrase)
        errors_.add(phrase->position, fmt::format("{} is not a number of a phrase", in_quotes(phrase->text)),
                    "write a whole number from 1");
    }
    if (const CsvField* meter = field(row, meter_column)) {
      note.meter = parse_meter(meter->text);
      if (!note.meter)
        errors_.add(meter->position, fmt::format("{} is not a meter", in_quotes(meter->text)),
                    "write it as 3/4 or 6/8");
    }
  }

  void read_marks(const CsvRowFields& row, PerformedNote& note) {
    const auto yes = [&](Performed column) {
      const CsvField* text = field(row, column);
      return text && is_yes(text->text);
    };
    if (yes(fermata_column)) note.item.mark = NoteMark::free;
    if (yes(maybe_column)) note.item.mark = NoteMark::maybe;
    if (const CsvField* word = field(row, syllable_column)) note.word = word_of_csv(word->text);
    const CsvField* sounding = field(row, sounding_column);
    if (!sounding) return;
    double midi = 0;
    const char* end = sounding->text.data() + sounding->text.size();
    const auto [stop, error] = std::from_chars(sounding->text.data(), end, midi);
    const double sounds = midi - midi_key(note.item.pitch) - note.item.pitch.deviation_cents / 100;
    constexpr double farthest = 48;
    if (error != std::errc() || stop != end || !(std::fabs(sounds) <= farthest))
      errors_.add(sounding->position, fmt::format("{} is not a pitch near the written one", in_quotes(sounding->text)),
                  "write where it sounds, such as 60 for middle C, or leave it empty");
    else
      note.sounds = static_cast<int>(std::lround(sounds));
  }

  void add(const PerformedNote& note, const PerformedNote* next) {
    const Fraction begin = begin_of_bar(note);
    hold_until(std::min(held_until_, std::min(begin, note.start, before), before), note.item.position);
    if (before_ && before_->phrase != note.phrase) builder_.add_breath(note.item.position);
    begin_bar(note, begin);
    hold_until(std::min(held_until_, note.start, before), note.item.position);
    if (note.start < now_)
      errors_.add(note.item.position,
                  fmt::format("{} starts before the note before it ends", pitch_name(note.item.pitch)),
                  "correct start_beats, or the beats of the note before");
    rest_until(note.start, note.item.position);
    builder_.set_sounds(note.sounds);
    Item item = note.item;
    // A grace note may stand within a note that is then held on.
    const bool graced = next && !note.item.is_grace() && next->item.is_grace() && next->start < note.end;
    if (graced) item.beats = next->start - note.start;
    // What is held into another meter has the beats of that meter there.
    const Fraction next_bar = next && next->meter != note.meter ? begin_of_bar(*next) : note.end;
    if (note.start < next_bar && next_bar < note.start + item.beats) item.beats = next_bar - note.start;
    if (!note.item.is_grace()) held_until_ = note.end;
    now_ = note.start + item.beats;
    builder_.add(std::move(item));
    if (any_words_) builder_.add_words(1, {note.word.empty() ? std::string_view(".") : note.word}, note.item.position);
    before_ = &note;
  }

  static bool before(const Fraction& a, const Fraction& b) { return a < b; }

  void hold_until(const Fraction& end, SourcePosition position) {
    if (now_ < end) add_span(ItemKind::hold, end, position);
  }

  void rest_until(const Fraction& end, SourcePosition position) {
    if (now_ < end) add_span(ItemKind::rest, end, position);
  }

  void add_span(ItemKind kind, const Fraction& end, SourcePosition position) {
    Item item;
    item.kind = kind;
    item.beats = end - now_;
    item.position = position;
    now_ = end;
    builder_.add(std::move(item));
  }

  /// A new bar begins with its part of the rest before the note.
  static Fraction begin_of_bar(const PerformedNote& note) {
    return note.bar && note.beat ? note.start - (*note.beat - Fraction(1)) : note.start;
  }

  void begin_bar(const PerformedNote& note, Fraction begin) {
    const bool same_bar = before_ && before_->bar == note.bar && before_->meter == note.meter && !begins_again(note);
    if (same_bar) return;
    if (!note.bar) {
      if (note.meter != meter_) rest_until(note.start, note.item.position);
      return set_meter(note);
    }
    if (begin < now_) begin = now_;
    rest_until(begin, note.item.position);
    if (before_) builder_.bar_line();
    set_meter(note);
    std::optional<Fraction> beat;
    if (note.beat && !(note.start < begin)) beat = *note.beat - (note.start - begin);
    if (beat && *beat < Fraction(1)) beat.reset();
    builder_.set_bar(*note.bar, beat);
    bar_ = true;
  }

  /// Whether the same bar is played once more.
  bool begins_again(const PerformedNote& note) const {
    return before_->beat && note.beat && *note.beat < *before_->beat;
  }

  void set_meter(const PerformedNote& note) {
    if (note.meter == meter_) return;
    builder_.set_meter(note.meter);
    meter_ = note.meter;
  }

  Diagnostics& errors_;
  ParsedMelodyBuilder builder_;
  std::array<std::optional<std::size_t>, performed_names.size()> place_{};
  std::optional<Meter> meter_;
  const PerformedNote* before_ = nullptr;
  Fraction now_, held_until_;
  bool any_words_ = false, bar_ = false;
};

}  // namespace

bool is_performed_table(const std::vector<CsvField>& header) {
  return std::all_of(performed_names.begin(), performed_names.begin() + 3, [&](std::string_view name) {
    return std::any_of(header.begin(), header.end(), [&](const CsvField& f) { return lower_ascii(f.text) == name; });
  });
}

ParsedMelody read_performed_table(const std::vector<CsvRowFields>& rows, Diagnostics& errors, Diagnostics& warnings) {
  return PerformedReader(errors, warnings).read(rows);
}

}  // namespace firmus::melody
