#include "csv_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <stdexcept>
#include <tuple>

#include "csv_performed.hpp"
#include "note_token.hpp"
#include "parsed_melody_builder.hpp"
#include "source.hpp"

namespace firmus::melody {
namespace {

using Field = CsvField;
using Row = std::vector<CsvField>;

constexpr std::string_view separators = ",;\t";
constexpr std::array<std::string_view, 5> column_names{"note", "beats", "bar", "word", "phrase"};
enum Column : std::size_t { note_column, beats_column, bar_column, word_column, phrase_column };
constexpr int largest_number = 100000;  // of a bar or phrase

std::string_view first_line_that_holds_anything(std::string_view text) {
  for (const Line& line : split_lines(text))
    if (!trimmed(line.text).empty()) return line.text;
  return {};
}

/// The index of each column in a row.
struct ColumnPlaces {
  std::array<std::optional<std::size_t>, column_names.size()> place;
};

ColumnPlaces read_header(const Row& row, Diagnostics& errors) {
  ColumnPlaces columns;
  for (std::size_t i = 0; i < row.size(); ++i) {
    const std::string name = lower_ascii(row[i].text);
    const auto* known = std::find(column_names.begin(), column_names.end(), name);
    if (known == column_names.end()) {
      errors.add(row[i].position, fmt::format("{} is not a column of a melody", in_quotes(row[i].text)),
                 "the columns are note, beats, bar, word, phrase");
      continue;
    }
    auto& place = columns.place[static_cast<std::size_t>(known - column_names.begin())];
    if (place)
      errors.add(row[i].position, fmt::format("the column {} is there twice", in_quotes(name)), "keep one of them");
    place = i;
  }
  if (!columns.place[beats_column])
    errors.add(row.front().position, "there is no column \"beats\"", "name the columns note,beats in the first line");
  return columns;
}

/// A row of the file, read before the meter of the bars is known.
struct CsvRow {
  Item item;
  std::string word;
  SourcePosition word_position;
  std::optional<int> phrase;
};

/// The most common length of a bar. Of equally common ones a whole number of quarters is preferred, then the longest,
/// since short bars are mostly upbeats. None without bars, and when it is not a whole number from 1 to 64.
std::optional<int> most_common_bar_length(const std::vector<CsvRow>& rows) {
  std::map<std::pair<std::int64_t, std::int64_t>, int> times;
  Fraction sum;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    if (!rows[i].item.given_bar) continue;
    sum = sum + rows[i].item.beats;
    if (i + 1 < rows.size() && rows[i + 1].item.given_bar == rows[i].item.given_bar) continue;
    ++times[{sum.num, sum.den}];
    sum = Fraction(0);
  }
  std::tuple<int, bool, std::int64_t> best{0, false, 0};
  for (const auto& [length, count] : times) best = std::max(best, {count, length.second == 1, length.first});
  const auto [count, whole, quarters] = best;
  if (count == 0 || !whole || quarters < 1 || quarters > 64) return std::nullopt;
  return static_cast<int>(quarters);
}

class CsvReader {
 public:
  CsvReader(Diagnostics& errors, Diagnostics& warnings) : errors_(errors), warnings_(warnings), builder_(warnings) {}

  ParsedMelody read(std::string_view text, char separator) {
    const std::vector<Row> rows = split_csv(text, separator, errors_);
    if (rows.empty()) return builder_.finish();
    if (is_performed_table(rows.front())) return read_performed_table(rows, errors_, warnings_);
    columns_ = read_header(rows.front(), errors_);
    width_ = rows.front().size();
    if (errors_.any()) return builder_.finish();
    std::vector<CsvRow> read_rows;
    for (std::size_t i = 1; i < rows.size(); ++i)
      if (auto row = read_row(rows[i])) read_rows.push_back(std::move(*row));
    if (!errors_.any()) build(read_rows);
    return builder_.finish();
  }

 private:
  const Field* field(const Row& row, Column column) const {
    const auto place = columns_.place[column];
    return place && *place < row.size() && !row[*place].text.empty() ? &row[*place] : nullptr;
  }

  std::optional<CsvRow> read_row(const Row& row) {
    if (row.size() > width_) {
      errors_.add(row[width_].position, fmt::format("the row has {} fields for {} columns", row.size(), width_),
                  "put fields that hold the separator in quotes");
      return std::nullopt;
    }
    CsvRow read;
    if (!read_note(row, read.item)) return std::nullopt;
    read.item.given_bar = read_number(row, bar_column, 0, bar_);
    read.phrase = read_number(row, phrase_column, 1, phrase_);
    read_word(row, read);
    return read;
  }

  bool read_note(const Row& row, Item& item) {
    const Field* note = field(row, note_column);
    const Field* beats = field(row, beats_column);
    if (!note) {
      errors_.add(row.front().position, "the row has no note", "write one such as F#4, or rest");
      return false;
    }
    auto parsed = parse_note_token(note->text);
    if (note->text.find(':') != std::string::npos)
      parsed =
          TokenError{fmt::format("{} is not a note", in_quotes(note->text)), "put its length into the column beats"};
    if (const auto* error = std::get_if<TokenError>(&parsed)) errors_.add(note->position, error->what, error->remedy);
    const auto length = parse_beats(beats ? std::string_view(beats->text) : "1");
    if (const auto* error = std::get_if<TokenError>(&length)) errors_.add(beats->position, error->what, error->remedy);
    if (!std::holds_alternative<Item>(parsed) || !std::holds_alternative<Fraction>(length)) return false;
    item = std::get<Item>(parsed);
    item.beats = std::get<Fraction>(length);
    item.position = note->position;
    if (item.kind == ItemKind::note || !(item.beats == Fraction(0))) return true;
    errors_.add(beats->position, fmt::format("{} lasts no time", in_quotes(note->text)),
                "give it a length above 0, or leave it out");
    return false;
  }

  /// An empty field means the same number as in the row before.
  std::optional<int> read_number(const Row& row, Column column, int lowest, std::optional<int>& before) {
    if (const Field* number = field(row, column)) {
      before = parse_whole(number->text, lowest, largest_number);
      if (!before)
        errors_.add(number->position,
                    fmt::format("{} is not a number of a {}", in_quotes(number->text), column_names[column]),
                    fmt::format("write a whole number from {}", lowest));
    }
    return before;
  }

  void read_word(const Row& row, CsvRow& read) {
    const Field* word = field(row, word_column);
    if (!word) return;
    read.word = word_of_csv(word->text);
    if (read.word == "-" || read.word == "--" || read.word == "#" || read.word == "|")
      errors_.add(word->position, fmt::format("{} is not a word", in_quotes(read.word)),
                  "write the syllable, or leave the field empty");
    else if (read.item.kind != ItemKind::note)
      errors_.add(word->position, fmt::format("{} stands beside no note", in_quotes(read.word)), "move it to its note");
  }

  void build(const std::vector<CsvRow>& rows) {
    if (const auto beats_a_bar = most_common_bar_length(rows)) builder_.set_meter(Meter{*beats_a_bar, 4});
    const bool any_words = std::any_of(rows.begin(), rows.end(), [](const CsvRow& row) { return !row.word.empty(); });
    const CsvRow* before = nullptr;
    for (const CsvRow& row : rows) {
      if (before && before->phrase && before->phrase != row.phrase) builder_.add_breath(row.item.position);
      if (before && before->item.given_bar != row.item.given_bar) builder_.bar_line();
      builder_.add(row.item);
      if (any_words && row.item.kind == ItemKind::note)
        builder_.add_words(1, {row.word.empty() ? std::string_view(".") : row.word}, row.item.position);
      before = &row;
    }
    if (columns_.place[bar_column]) builder_.bar_line();
  }

  Diagnostics& errors_;
  Diagnostics& warnings_;
  ParsedMelodyBuilder builder_;
  ColumnPlaces columns_;
  std::size_t width_ = 0;
  std::optional<int> bar_, phrase_;
};

std::vector<std::string> fields_of_line(std::string_view line, char separator) {
  std::vector<std::string> fields;
  while (true) {
    const std::size_t end = std::min(line.find(separator), line.size());
    std::string_view field = trimmed(line.substr(0, end));
    if (field.size() >= 2 && field.front() == '"' && field.back() == '"')
      field = trimmed(field.substr(1, field.size() - 2));
    fields.push_back(lower_ascii(field));
    if (end == line.size()) return fields;
    line.remove_prefix(end + 1);
  }
}

}  // namespace

std::optional<char> csv_separator(std::string_view text) {
  const std::string_view line = first_line_that_holds_anything(text);
  for (const char separator : separators) {
    const std::vector<std::string> fields = fields_of_line(line, separator);
    for (const char* name : {"note", "written"})
      if (fields.size() > 1 && std::find(fields.begin(), fields.end(), name) != fields.end()) return separator;
  }
  return std::nullopt;
}

bool is_csv_without_header(std::string_view text) {
  const std::string_view line = first_line_that_holds_anything(text);
  for (const char separator : separators) {
    const std::vector<std::string> fields = fields_of_line(line, separator);
    if (fields.size() < 2 || fields[1].empty() || !is_digit(fields[1][0])) continue;
    if (std::holds_alternative<Item>(parse_note_token(fields[0]))) return fields[0].find(':') == std::string::npos;
  }
  return false;
}

std::string word_of_csv(std::string text) {
  if (text.size() > 1 && text[0] == '\'' && std::string_view("=+-@").find(text[1]) != std::string_view::npos)
    text.erase(0, 1);
  for (char& c : text)
    if (c == '\n' || c == '\r') c = ' ';
  return fmt::format("{}", fmt::join(split_words(text), "\xC2\xA0"));
}

ParsedMelody read_csv(std::string_view text, char separator, Diagnostics& errors, Diagnostics& warnings) {
  try {
    return CsvReader(errors, warnings).read(text, separator);
  } catch (const std::overflow_error&) {
    errors.add({}, "has a bar whose lengths have no exact sum that fits", "use simpler fractions");
    return {};
  }
}

}  // namespace firmus::melody
