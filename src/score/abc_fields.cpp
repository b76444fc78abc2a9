// The values of ABC's information fields.
#include <algorithm>
#include <array>

#include "abc.hpp"
#include "common.hpp"

namespace firmus::score {
namespace {

constexpr bool is_figure(char c) {
  return c >= '0' && c <= '9';
}

std::size_t letter_place(char letter) {
  return static_cast<std::size_t>((letter & ~32) - 'A');
}

/// The accidentals of a key signature: F C G D A E B in order.
std::vector<int> signature(int fifths) {
  constexpr std::string_view order = "FCGDAEB";
  std::vector<int> cents(7, 0);
  for (int i = 0; i < std::min(std::abs(fifths), 7); ++i) {
    const char letter = order[static_cast<std::size_t>(fifths > 0 ? i : 6 - i)];
    cents[letter_place(letter)] = fifths > 0 ? 100 : -100;
  }
  return cents;
}

/// "m", "min", "dorian": the first three letters count; none for other words.
std::optional<Mode> abc_mode(std::string_view word) {
  const std::string start = lower_ascii(word.substr(0, 3));
  if (start == "m") return Mode::minor;
  for (const EnumName<Mode>& one : enum_names(Mode{}))
    if (start == one.name.substr(0, 3)) return one.value;
  return std::nullopt;
}

/// Sharps (flats negative) of a major key and the mode's place beside it.
int fifths_of_key(char letter, int alter, Mode mode) {
  constexpr std::string_view line = "FCGDAEB";
  const int tonic = static_cast<int>(line.find(letter)) - 1 + 7 * alter;
  for (int fifths = -14; fifths <= 14; ++fifths)
    if (const auto key = key_of_signature(fifths, mode); key && key->letter == letter && key->alter == alter)
      return fifths;
  return tonic;
}

/// "^c", "=f", "__b": a letter with its own accidental, on top of the key.
void apply_accidental(std::string_view word, std::vector<int>& cents) {
  int value = 0;
  while (!word.empty() && std::string_view("^_=").find(word.front()) != std::string_view::npos) {
    value += word.front() == '^' ? 100 : word.front() == '_' ? -100 : 0;
    word.remove_prefix(1);
  }
  if (word.size() != 1 || letter_place(word.front()) > 6 || value > 200 || value < -200) return;
  cents[letter_place(word.front())] = value;
}

bool is_accidental(std::string_view word) {
  return word.size() >= 2 && word.size() <= 3 && std::string_view("^_=").find(word.front()) != std::string_view::npos;
}

}  // namespace

std::string abc_property(std::string_view text, std::string_view name) {
  for (std::size_t at = text.find(name); at != std::string_view::npos; at = text.find(name, at + 1)) {
    const bool begins = at == 0 || text[at - 1] == ' ' || text[at - 1] == '\t';
    std::string_view rest = text.substr(at + name.size());
    if (!begins || !rest.starts_with('=')) continue;
    rest.remove_prefix(1);
    if (rest.starts_with('"')) return std::string(rest.substr(1, rest.find('"', 1) - 1));
    return std::string(rest.substr(0, rest.find_first_of(" \t")));
  }
  return {};
}

std::optional<AbcKey> parse_abc_key(std::string_view text) {
  AbcKey key;
  const auto words = split_words(text);
  if (words.empty() || lower_ascii(words[0]) == "none") return key;
  if (words[0] == "HP" || words[0] == "Hp") {  // Highland pipes: F and C sharp
    key.accidental_cents = signature(2);
    return key;
  }
  std::string_view first = words[0];
  const char letter = first.front();
  const bool is_property = first.find('=') != std::string_view::npos && !is_accidental(first);
  if (letter < 'A' || letter > 'G' || is_property) {
    bool any = false;
    for (const std::string_view word : words)
      if (is_accidental(word)) apply_accidental(word, key.accidental_cents), any = true;
    return any ? std::optional(key) : std::nullopt;
  }
  first.remove_prefix(1);
  int alter = 0;
  if (first.starts_with('#') || first.starts_with('b')) {
    alter = first.front() == '#' ? 1 : -1;
    first.remove_prefix(1);
  }
  std::optional<Mode> mode = abc_mode(first);
  bool explicit_only = false;
  for (std::size_t i = 1; i < words.size(); ++i) {
    if (i == 1 && !mode && first.empty()) mode = abc_mode(words[i]);
    explicit_only = explicit_only || lower_ascii(words[i]) == "exp";
  }
  const int fifths = fifths_of_key(letter, alter, mode.value_or(Mode::major));
  key.key = key_of_signature(fifths, mode.value_or(Mode::major));
  if (!explicit_only) key.accidental_cents = signature(fifths);
  for (std::size_t i = 1; i < words.size(); ++i)
    if (is_accidental(words[i])) apply_accidental(words[i], key.accidental_cents);
  return key;
}

AbcClef parse_abc_clef(std::string_view text, const AbcClef& before) {
  AbcClef clef = before;
  std::string name = abc_property(text, "clef");
  for (const std::string_view word : split_words(text))
    for (const char* known : {"treble", "alto", "tenor", "bass", "perc"})
      if (word.starts_with(known)) name = word;
  if (!name.empty()) {
    clef.percussion = name.starts_with("perc");
    clef.sounds_semitones = name.ends_with("-8") ? -12 : name.ends_with("+8") ? 12 : 0;
  }
  for (const char* property : {"transpose", "t"})
    if (const auto semitones = whole_number(abc_property(text, property), -36, 36)) clef.sounds_semitones = *semitones;
  if (const auto octaves = whole_number(abc_property(text, "octave"), -4, 4)) clef.octaves = *octaves;
  return clef;
}

std::optional<Meter> parse_abc_meter(std::string_view text) {
  text = stripped(text);
  if (text == "C") return Meter{4, 4};
  if (text == "C|") return Meter{2, 2};
  const std::size_t slash = text.find('/');
  if (slash == std::string_view::npos) return std::nullopt;
  int count = 0;
  std::string_view above = text.substr(0, slash);
  while (!above.empty()) {
    if (!is_figure(above.front())) {
      above.remove_prefix(1);
      continue;
    }
    const std::size_t end = std::min(above.find_first_not_of("0123456789"), above.size());
    count += whole_number(above.substr(0, end), 1, 64).value_or(100);
    above.remove_prefix(end);
  }
  const std::string_view below = text.substr(slash + 1);
  const int unit = whole_number(below.substr(0, below.find_first_not_of("0123456789")), 1, 64).value_or(0);
  if (count < 1 || count > 64 || unit == 0 || (unit & (unit - 1)) != 0) return std::nullopt;
  return Meter{count, unit};
}

Fraction take_abc_length(std::string_view& text) {
  constexpr std::size_t most_figures = 4;
  const auto figures = [&](std::int64_t none) {
    std::int64_t number = 0;
    std::size_t count = 0;
    for (; !text.empty() && is_figure(text.front()); text.remove_prefix(1), ++count)
      if (count < most_figures) number = 10 * number + (text.front() - '0');
    return count == 0 || number == 0 ? none : number;
  };
  Fraction length(figures(1));
  for (int slashes = 0; text.starts_with('/'); ++slashes) {
    text.remove_prefix(1);
    const std::int64_t below = figures(2);
    if (slashes < 8) length = length / Fraction(below);
  }
  return length;
}

std::optional<double> parse_abc_tempo(std::string_view text, const Fraction& unit_note) {
  std::string bare;  // without the words in quotes
  bool quoted = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (!quoted && c != '"') bare += c;
  }
  const std::size_t equals = bare.find('=');
  const std::string_view above = std::string_view(bare).substr(0, equals == std::string::npos ? 0 : equals);
  std::string_view below = stripped(std::string_view(bare).substr(equals == std::string::npos ? 0 : equals + 1));
  const auto rate = decimal_number(below.substr(0, below.find_first_not_of("0123456789.")));
  if (!rate || !(Fraction(0) < *rate)) return std::nullopt;
  Fraction beat;
  for (std::string_view word : split_words(above))
    if (is_figure(word.front())) beat = beat + take_abc_length(word);
  if (beat == Fraction(0)) beat = unit_note;
  const double quarters = 4 * beat.value() * rate->value();
  return quarters >= 1 && quarters <= 2000 ? std::optional(quarters) : std::nullopt;
}

std::vector<AbcSyllable> abc_syllables(std::string_view line) {
  std::vector<AbcSyllable> syllables;
  std::string text;
  const auto end = [&](bool joined) {
    std::string syllable = syllable_text(text);
    text.clear();
    if (syllable.empty()) return false;
    syllables.push_back({joined ? syllable + "-" : syllable, false});
    return true;
  };
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (c == '\\' && i + 1 < line.size() && line[i + 1] == '-') {
      text += '-';
      ++i;
    } else if (c == '~') {
      text += ' ';
    } else if (c == ' ' || c == '\t') {
      end(false);
    } else if (c == '-') {
      if (!end(true)) syllables.emplace_back();  // one more note for the syllable before
    } else if (c == '_' || c == '*') {
      end(false);
      syllables.emplace_back();
    } else if (c == '|') {
      end(false);
      syllables.push_back({{}, true});
    } else {
      text += c;
    }
  }
  end(false);
  return syllables;
}

std::string abc_part_order(std::string_view text) {
  constexpr std::size_t longest = 1000;
  std::vector<std::string> open{{}};
  std::string last;
  const auto add = [&](const std::string& letters, int times) {
    for (int i = 0; i < times && open.back().size() < longest; ++i) open.back() += letters;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '(' && open.size() < 20) open.emplace_back();
    std::string letters;
    if (c >= 'A' && c <= 'Z') letters = c;
    if (c == ')' && open.size() > 1) {
      letters = open.back();
      open.pop_back();
    }
    if (letters.empty()) continue;
    const std::size_t end = std::min(text.find_first_not_of("0123456789", i + 1), text.size());
    add(letters, whole_number(text.substr(i + 1, end - i - 1), 1, 99).value_or(1));
    i = end - 1;
  }
  return open.front().substr(0, longest);
}

}  // namespace firmus::score
