#include "common.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "base/base.hpp"

namespace firmus::score {
namespace {

constexpr bool is_white(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\v' || c == '\f';
}

}  // namespace

void refuse_score(const std::string& file, std::string what, std::string remedy) {
  throw InputError(Problem{{file, 0, 0}, std::move(what), std::move(remedy)});
}

std::string_view stripped(std::string_view text) {
  while (!text.empty() && is_white(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_white(text.back())) text.remove_suffix(1);
  return text;
}

std::optional<int> whole_number(std::string_view text, int lowest, int highest) {
  text = stripped(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || value < lowest || value > highest)
    return std::nullopt;
  return value;
}

std::optional<Fraction> decimal_number(std::string_view text) {
  constexpr std::size_t most_figures = 9;
  text = stripped(text);
  const bool negative = text.starts_with('-');
  if (negative || text.starts_with('+')) text.remove_prefix(1);
  std::int64_t number = 0, scale = 1;
  bool point = false;
  std::size_t figures = 0;
  for (const char c : text) {
    if (c == '.' && !point) {
      point = true;
    } else if (c >= '0' && c <= '9' && figures < 2 * most_figures) {
      if (point && scale >= 1'000'000'000) continue;  // figures of no meaning, as in 0.333333333333333
      number = 10 * number + (c - '0');
      scale *= point ? 10 : 1;
      ++figures;
    } else {
      return std::nullopt;
    }
  }
  if (figures == 0) return std::nullopt;
  return Fraction(negative ? -number : number, scale);
}

std::string utf8_of(std::string_view text) {
  std::string latin;
  bool valid = true;
  for (std::string_view rest = text; valid && !rest.empty();) {
    const std::size_t bytes = utf8_sequence_length(rest);
    valid = bytes > 0;
    rest.remove_prefix(std::max<std::size_t>(bytes, 1));
  }
  if (valid) return std::string(text);
  for (const char c : text) {
    const auto code = static_cast<unsigned char>(c);
    if (code < 0x80) {
      latin += c;
    } else {
      latin += static_cast<char>(0xC0 | code >> 6);
      latin += static_cast<char>(0x80 | (code & 0x3F));
    }
  }
  return latin;
}

std::string one_line(std::string_view text) {
  std::string line;
  while (!text.empty()) {
    const std::size_t bytes = utf8_sequence_length(text);
    if (bytes == 0) {
      line += "\xEF\xBF\xBD";  // U+FFFD, the replacement character
      text.remove_prefix(1);
      continue;
    }
    const std::string_view character = text.substr(0, bytes);
    if (!is_control_character(character))
      line += character;
    else if (is_white(character.front()))
      line += ' ';
    text.remove_prefix(bytes);
  }
  return std::string(stripped(line));
}

std::string syllable_text(std::string_view text) {
  constexpr std::string_view no_break_space = "\xC2\xA0";
  constexpr std::size_t longest = 200;  // bytes; more is no syllable
  const std::string line = one_line(text);
  std::string syllable;
  for (const char c : line) {
    const bool is_space = c == ' ';
    if (!is_space)
      syllable += c;
    else if (!syllable.ends_with(no_break_space))
      syllable += no_break_space;
  }
  while (syllable.starts_with(no_break_space)) syllable.erase(0, no_break_space.size());
  while (syllable.ends_with(no_break_space)) syllable.erase(syllable.size() - no_break_space.size());
  constexpr std::array<std::string_view, 5> taken{"|", "-", "--", ".", "#"};
  const bool has_meaning = std::find(taken.begin(), taken.end(), syllable) != taken.end();
  return has_meaning || syllable.size() > longest ? std::string() : syllable;
}

std::optional<SpelledPitch> altered_pitch(char letter, double alter_cents, int octave) {
  if (letter < 'A' || letter > 'G' || octave < 0 || octave > 9 || !(std::fabs(alter_cents) <= 250)) return std::nullopt;
  // A quarter tone belongs to the accidental nearer to the natural: F+50 is F4+50, 150 cents up is F#4+50.
  const double semitones = alter_cents / 100;
  const int alter = std::clamp(static_cast<int>(semitones), -2, 2);
  return SpelledPitch{letter, alter, octave, std::round((alter_cents - 100.0 * alter) * 1000) / 1000 + 0.0};
}

double height_cents(const SpelledPitch& pitch) {
  return 100.0 * midi_key(pitch) + pitch.deviation_cents;
}

Fraction bar_length(const Meter& meter) {
  return Fraction(4 * meter.count, meter.unit);
}

bool cut_overlaps(Measure& measure) {
  std::vector<Note>& notes = measure.notes;
  std::stable_sort(notes.begin(), notes.end(), [](const Note& a, const Note& b) { return a.at < b.at; });
  bool any = false;
  Note* before = nullptr;
  for (Note& note : notes) {
    if (note.grace) continue;
    if (before && note.at < before->at + before->length) {
      before->length = note.at - before->at;
      any = true;
    }
    before = &note;
  }
  std::erase_if(notes, [](const Note& note) { return !note.grace && !(Fraction(0) < note.length); });
  return any;
}

void place_upbeat(Part& part) {
  if (part.measures.empty()) return;
  Measure& first = part.measures.front();
  if (!first.meter || !(first.length < bar_length(*first.meter))) return;
  first.from_bar_begin = bar_length(*first.meter) - first.length;
}

Note top_of_chord(const std::vector<Note>& chord) {
  const auto top = std::max_element(chord.begin(), chord.end(), [](const Note& a, const Note& b) {
    return height_cents(a.pitch) < height_cents(b.pitch);
  });
  Note note = *top;
  for (const Note& other : chord) {
    note.fermata = note.fermata || other.fermata;
    note.breath_after = note.breath_after || other.breath_after;
    if (note.words.empty()) note.words = other.words;
  }
  return note;
}

}  // namespace firmus::score
