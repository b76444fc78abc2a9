#include "headers.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <numeric>

#include "drill_aim.hpp"
#include "note_token.hpp"
#include "tokens.hpp"

namespace firmus::melody {
namespace {

constexpr int most_passes = 99;

constexpr std::array<std::string_view, 13> header_names{"title",  "key",       "meter", "tempo",  "section",
                                                        "order",  "bar",       "words", "tuning", "a4",
                                                        "sounds", "reference", "drill"};

/// The pass of "words", "words 2"; none for another header.
std::optional<int> words_pass(std::string_view name) {
  const std::vector<std::string_view> words = split_words(name);
  if (words.empty() || words.size() > 2 || lower_ascii(words[0]) != "words") return std::nullopt;
  return words.size() == 1 ? 1 : parse_whole(words[1], 1, most_passes);
}

/// Least number of insertions, deletions and substitutions (Levenshtein 1966).
std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 0; i < a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i + 1;
    for (std::size_t j = 0; j < b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i] == b[j] ? 0 : 1);
      diagonal = row[j + 1];
      row[j + 1] = std::min({changed, row[j] + 1, row[j + 1] + 1});
    }
  }
  return row.back();
}

std::string remedy_for_unknown_header(std::string_view name) {
  constexpr std::size_t longest_name = 20, farthest = 2;
  const std::string word = lower_ascii(name);
  if (word == "time" || word == "measure" || word == "time signature") return "write \"meter:\"";
  if (word == "lyrics" || word == "text") return "write \"words:\"";
  if (word == "name") return "write \"title:\"";
  if (word.starts_with("words")) return "write \"words:\", or \"words 2:\" for the second pass";
  std::string_view nearest;
  std::size_t least = farthest + 1;
  if (word.size() <= longest_name)
    for (const std::string_view known : header_names)
      if (const std::size_t distance = edit_distance(word, known); distance < least) {
        least = distance;
        nearest = known;
      }
  if (!nearest.empty()) return fmt::format("write \"{}:\"", nearest);
  return fmt::format("the headers are {}", fmt::join(header_names, ", "));
}

bool is_music(std::string_view word) {
  return std::holds_alternative<Item>(parse_note_token(word));
}

}  // namespace

bool is_known_header(std::string_view name) {
  const std::string word = lower_ascii(name);
  return words_pass(word) || std::find(header_names.begin(), header_names.end(), word) != header_names.end();
}

std::optional<HeaderLine> header_of(const Line& line) {
  const std::size_t colon = line.text.find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  if (colon + 1 < line.text.size() && !is_space(line.text[colon + 1])) return std::nullopt;
  const std::string_view name = trimmed(line.text.substr(0, colon));
  if (name.empty() || name.find_first_of("|,#") != std::string_view::npos) return std::nullopt;
  const bool touches_colon = !is_space(line.text[colon - 1]);
  if (!(touches_colon && is_known_header(name)) && is_music(split_words(name).front())) return std::nullopt;
  const std::string_view value = trimmed(line.text.substr(colon + 1));
  Columns columns(line.text);
  const int name_column = columns.at(static_cast<std::size_t>(name.data() - line.text.data()));
  const std::size_t value_at =
      value.empty() ? line.text.size() : static_cast<std::size_t>(value.data() - line.text.data());
  return HeaderLine{name, value, {line.number, name_column}, {line.number, columns.at(value_at)}};
}

struct HeaderReader::Kind {
  void (HeaderReader::*read)(const HeaderLine&);
  bool before_notes_only = false;
};

const std::map<std::string, HeaderReader::Kind, std::less<>>& HeaderReader::kinds() {
  static const std::map<std::string, Kind, std::less<>> kinds{{"title", {&HeaderReader::title, true}},
                                                              {"key", {&HeaderReader::key}},
                                                              {"meter", {&HeaderReader::meter}},
                                                              {"tempo", {&HeaderReader::tempo}},
                                                              {"section", {&HeaderReader::section}},
                                                              {"order", {&HeaderReader::order, true}},
                                                              {"tuning", {&HeaderReader::tuning, true}},
                                                              {"a4", {&HeaderReader::a4, true}},
                                                              {"sounds", {&HeaderReader::sounds}},
                                                              {"bar", {&HeaderReader::bar}},
                                                              {"reference", {&HeaderReader::reference, true}},
                                                              {"drill", {&HeaderReader::drill, true}}};
  return kinds;
}

void HeaderReader::read(const HeaderLine& header) {
  const std::string name = lower_ascii(header.name);
  if (words_pass(name)) return words(header);
  const auto kind = kinds().find(name);
  if (kind == kinds().end())
    return errors_.add(header.name_position,
                       fmt::format("{} is not a header", in_quotes(fmt::format("{}:", header.name))),
                       remedy_for_unknown_header(header.name));
  if (is_allowed_here(name, header)) (this->*kind->second.read)(header);
}

bool HeaderReader::is_allowed_here(const std::string& name, const HeaderLine& header) {
  const std::size_t now = builder_.token_count();
  const auto [seen, inserted] = first_seen_at_.try_emplace(name, now);
  const bool only_before = kinds().find(name)->second.before_notes_only;
  if (!inserted && (only_before || seen->second == now)) {
    errors_.add(header.name_position, fmt::format("\"{}:\" is given twice", name), "keep one of them");
    return false;
  }
  seen->second = now;
  if (only_before && now > 0) {
    errors_.add(header.name_position, fmt::format("\"{}:\" stands after the first note", name), "move it to the top");
    return false;
  }
  return true;
}

void HeaderReader::report_bad_value(const HeaderLine& header, std::string_view is_what, std::string remedy) {
  if (header.value.empty())
    return errors_.add(header.value_position, fmt::format("\"{}:\" says nothing", lower_ascii(header.name)),
                       std::move(remedy));
  errors_.add(header.value_position, fmt::format("{} is {}", in_quotes(header.value), is_what), std::move(remedy));
}

void HeaderReader::words(const HeaderLine& header) {
  const int pass = *words_pass(header.name);
  if (!builder_.notes_above())
    return errors_.add(header.name_position, "words with no notes above them", "put them below their notes");
  std::vector<std::string_view> syllables = split_words(header.value);
  for (const std::string_view syllable : syllables)
    if (syllable == "-" || syllable == "--") {
      const auto offset = static_cast<std::size_t>(syllable.data() - header.value.data());
      errors_.add({header.value_position.line, Columns(header.value, header.value_position.column).at(offset)},
                  fmt::format("{} is not a syllable", in_quotes(syllable)),
                  "join it to the one before, as in \"lan- tern\"");
      return;
    }
  std::erase(syllables, "|");  // bar lines between words have no meaning
  builder_.add_words(pass, syllables, header.name_position);
}

void HeaderReader::title(const HeaderLine& header) {
  builder_.parsed().title = header.value;
}

void HeaderReader::key(const HeaderLine& header) {
  if (const auto key = parse_key(header.value)) return builder_.set_key(*key);
  report_bad_value(header, "not a key", "write a note and a mode, such as D major, F# minor or E dorian");
}

std::optional<Meter> parse_meter(std::string_view text) {
  const std::size_t slash = std::min(text.find('/'), text.size());
  const auto count = parse_whole(trimmed(text.substr(0, slash)), 1, 64);
  const auto unit = parse_whole(trimmed(slash < text.size() ? text.substr(slash + 1) : ""), 1, 64);
  if (count && unit && (*unit & (*unit - 1)) == 0) return Meter{*count, *unit};
  return std::nullopt;
}

void HeaderReader::meter(const HeaderLine& header) {
  const auto meter = parse_meter(header.value);
  if (meter || lower_ascii(header.value) == "none") return builder_.set_meter(meter);
  report_bad_value(header, "not a meter", "write it as 3/4 or 6/8, or none where there is none from here on");
}

/// Units a minute of the words that metronomes carry, in the middle of their ranges.
std::optional<int> units_of_tempo_word(std::string_view text) {
  constexpr std::array<std::pair<std::string_view, int>, 12> words{{{"grave", 40},
                                                                    {"largo", 50},
                                                                    {"lento", 54},
                                                                    {"larghetto", 63},
                                                                    {"adagio", 68},
                                                                    {"andante", 76},
                                                                    {"andantino", 84},
                                                                    {"moderato", 104},
                                                                    {"allegretto", 112},
                                                                    {"allegro", 132},
                                                                    {"vivace", 160},
                                                                    {"presto", 184}}};
  const std::string word = lower_ascii(text);
  for (const auto& [name, units] : words)
    if (word == name) return units;
  return std::nullopt;
}

std::optional<Tempo> parse_tempo(std::string_view text) {
  if (const auto units = units_of_tempo_word(text)) return Tempo{std::string(text), Fraction(*units), std::nullopt};
  const std::size_t equals = text.find('=');
  const bool grouped = equals != std::string_view::npos;
  const auto units = parse_beats(grouped ? trimmed(text.substr(0, equals)) : "1");
  const auto rate = parse_beats(trimmed(grouped ? text.substr(equals + 1) : text));
  if (!std::holds_alternative<Fraction>(units) || !std::holds_alternative<Fraction>(rate)) return std::nullopt;
  constexpr std::int64_t highest = 10000;  // so that no product overflows
  const Fraction a = std::get<Fraction>(units), b = std::get<Fraction>(rate);
  if (a.value() > highest || b.value() > highest || a.den > highest || b.den > highest * 100) return std::nullopt;
  const Fraction per_minute = a * b;
  if (per_minute < Fraction(1) || Fraction(highest) < per_minute) return std::nullopt;
  return Tempo{std::string(text), per_minute, std::nullopt};
}

void HeaderReader::tempo(const HeaderLine& header) {
  if (const auto tempo = parse_tempo(header.value)) return builder_.set_tempo(*tempo);
  report_bad_value(header, "not a tempo", "write beats a minute, such as 96, or 3 = 60 for three beats a second");
}

void HeaderReader::section(const HeaderLine& header) {
  constexpr std::size_t longest_name = 64;
  if (header.value.empty() || header.value.size() > longest_name || split_words(header.value).size() > 1)
    return report_bad_value(header, "not a name for a section", "write one short word, such as A");
  const std::string name(header.value);
  if (builder_.has_section(name))
    return errors_.add(header.value_position, fmt::format("section {} is opened twice", in_quotes(name)),
                       "write it once and play it again with \"order:\"");
  builder_.open_section(name, header.value_position);
}

void HeaderReader::order(const HeaderLine& header) {
  if (header.value.empty())
    return report_bad_value(header, "not an order", "name the sections as they are played, such as A A B A");
  Columns columns(header.value, header.value_position.column);
  for (const std::string_view name : split_words(header.value)) {
    const int column = columns.at(static_cast<std::size_t>(name.data() - header.value.data()));
    builder_.parsed().declared_order.push_back({std::string(name), {header.value_position.line, column}});
  }
}

void HeaderReader::tuning(const HeaderLine& header) {
  if (parse_tuning(header.value, Key{})) {
    builder_.parsed().tuning = LocatedName{std::string(header.value), header.value_position};
    return;
  }
  report_bad_value(
      header, "not a tuning",
      "write equal, just, pythagorean, meantone, or twelve cents from equal, C to B, each from -100 to 100");
}

void HeaderReader::a4(const HeaderLine& header) {
  constexpr double lowest_hz = 300,
                   highest_hz = 600;  // historical pitches are between 370 and 570 Hz (Ellis 1880)
  const auto hz = parse_beats(header.value);
  if (const auto* number = std::get_if<Fraction>(&hz);
      number && number->value() >= lowest_hz && number->value() <= highest_hz) {
    builder_.parsed().a4_hz = Hertz(number->value());
    return;
  }
  report_bad_value(header, "not a concert pitch", "write hertz from 300 to 600, such as 440 or 442.5");
}

void HeaderReader::sounds(const HeaderLine& header) {
  if (const auto semitones = parse_whole(header.value, -48, 48)) {
    builder_.set_sounds(*semitones);
    return;
  }
  report_bad_value(header, "not a number of semitones",
                   "write semitones from written to sounding, -48 to 48, such as -12");
}

void HeaderReader::bar(const HeaderLine& header) {
  constexpr int highest = 99999;
  const auto words = split_words(header.value);
  const auto number = words.empty() ? std::nullopt : parse_whole(words[0], 0, highest);
  const auto beat = words.size() == 3 && lower_ascii(words[1]) == "beat" ? parse_beats(words[2]) : TokenError{};
  const auto* from = std::get_if<Fraction>(&beat);
  if (number && (words.size() == 1 || (from && !(*from < Fraction(1))))) {
    builder_.end_bar();
    builder_.set_bar(*number, from ? std::optional(*from) : std::nullopt);
    return;
  }
  report_bad_value(header, "not a number of a bar",
                   "write the printed number, such as 12, or 12 beat 3 where it begins within its bar");
}

void HeaderReader::reference(const HeaderLine& header) {
  const auto reference = parse_reference(lower_ascii(header.value));
  if (reference && *reference != Reference::interval) {
    builder_.parsed().reference = *reference;
    return;
  }
  report_bad_value(header, "not a reference a melody can ask for", "write concert or own");
}

void HeaderReader::drill(const HeaderLine& header) {
  if (auto aim = parse_drill_aim(header.value)) {
    builder_.parsed().drill = std::move(*aim);
    builder_.parsed().drill_position = header.value_position;
    return;
  }
  report_bad_value(
      header, "nothing that a melody can drill",
      "write what is off, which way, and the notes it comes down to, as in flat by 31 on interval M6 up; notes 2 4");
}

}  // namespace firmus::melody
