// A line of ABC music: notes, rests, chords, graces, tuplets.
#include <fmt/format.h>

#include <algorithm>

#include "abc_voice.hpp"
#include "common.hpp"

namespace firmus::score {
namespace {

constexpr bool is_note_letter(char c) {
  return (c >= 'A' && c <= 'G') || (c >= 'a' && c <= 'g');
}
constexpr bool begins_note(char c) {
  return is_note_letter(c) || c == '^' || c == '_' || c == '=';
}
constexpr bool is_digit_sign(char c) {
  return c >= '0' && c <= '9';
}

int take_small_number(std::string_view& text) {
  int number = 0;
  while (!text.empty() && is_digit_sign(text.front())) {
    number = std::min(10 * number + (text.front() - '0'), 99);
    text.remove_prefix(1);
  }
  return number;
}

}  // namespace

Fraction AbcVoice::length_of(const Fraction& multiple) {
  // Without L: a sixteenth in meters below 3/4, else an eighth (ABC 2.1, 3.1.7).
  if (!unit_) unit_ = meter_ && bar_length(*meter_) < Fraction(3) ? Fraction(1, 16) : Fraction(1, 8);
  return Fraction(4) * *unit_ * multiple;
}

AbcVoice::Accidental AbcVoice::take_accidental(std::string_view& text) const {
  Accidental accidental;
  int sign = 0, count = 0;
  while (!text.empty() && (text.front() == '^' || text.front() == '_' || text.front() == '=')) {
    accidental.given = true;
    sign = text.front() == '^' ? 100 : text.front() == '_' ? -100 : 0;
    count += sign != 0 ? 1 : 0;
    text.remove_prefix(1);
  }
  Fraction size(std::min(count, 3));
  if (accidental.given && !text.empty() && (is_digit_sign(text.front()) || text.front() == '/'))
    size = take_abc_length(text);  // microtones: ^/ is half a sharp
  accidental.cents = static_cast<int>(std::clamp(sign * size.value(), -300.0, 300.0));
  return accidental;
}

/// A note with its accidental, octave and length in multiples of the unit; none where it is no note.
std::optional<Note> AbcVoice::parse_note(std::string_view& text) {
  const Accidental accidental = take_accidental(text);
  if (text.empty() || !is_note_letter(text.front())) return std::nullopt;
  const char letter = static_cast<char>(text.front() & ~32);
  int octave = (text.front() >= 'a' ? 5 : 4) + clef_.octaves;
  text.remove_prefix(1);
  for (; !text.empty() && (text.front() == ',' || text.front() == '\''); text.remove_prefix(1))
    octave += text.front() == '\'' ? 1 : -1;
  const auto place = static_cast<std::size_t>(letter - 'A');
  int cents = key_.accidental_cents[place];
  if (accidental.given) in_bar_[place] = accidental;
  if (in_bar_[place].given) cents = in_bar_[place].cents;
  // A tied note keeps its accidental over the bar line.
  if (!accidental.given && tied_ && tied_->pitch.letter == letter && tied_->pitch.octave == octave)
    cents = static_cast<int>(100 * tied_->pitch.alter + tied_->pitch.deviation_cents);
  const auto pitch = altered_pitch(letter, cents, octave);
  Note note;
  note.length = take_abc_length(text);
  if (!pitch) {
    remarks_.add_whole("notes outside of the octaves 0 to 9 are left out");
    return std::nullopt;
  }
  note.pitch = *pitch;
  return note;
}

void AbcVoice::pass(const Fraction& length) {
  now_ = now_ + length;
  before_ = length;
}

/// Length with the unit, tuplet and broken rhythm applied; places the note, whose length is a multiple of the unit.
void AbcVoice::place(Note note) {
  if (overlay_) return;
  if (++note_count_ > most_score_notes)
    refuse_score(file_, fmt::format("has more than {} notes", most_score_notes), "give one tune");
  note.at = now_;
  note.tie_ends = true;
  note.fermata = std::exchange(fermata_, false);
  Fraction length = length_of(note.length) * std::exchange(broken_, Fraction(1));
  if (tuplet_.notes_left > 0) {
    length = length * tuplet_.factor;
    --tuplet_.notes_left;
  }
  note.length = length;
  tied_.reset();
  measure().notes.push_back(std::move(note));
  unsung_.push_back({measures_.size() - 1, measure().notes.size() - 1});
  before_is_note_ = true;
  pass(length);
}

void AbcVoice::take_note(std::string_view& text) {
  const std::string_view before = text;
  auto note = parse_note(text);
  if (text.size() == before.size()) text.remove_prefix(1);
  if (note) place(std::move(*note));
}

void AbcVoice::take_chord(std::string_view& text) {
  text.remove_prefix(1);
  std::vector<Note> chord;
  while (!text.empty() && text.front() != ']') {
    if (begins_note(text.front())) {
      if (auto note = parse_note(text)) chord.push_back(std::move(*note));
    } else {
      if (text.front() == '-' && !chord.empty()) chord.back().tie_begins = true;
      text.remove_prefix(1);
    }
  }
  if (!text.empty()) text.remove_prefix(1);
  const Fraction multiple = take_abc_length(text);
  if (chord.empty()) return;
  const Fraction length = chord.front().length * multiple;
  Note top = top_of_chord(chord);
  top.length = length;
  if (chord.size() > 1 && !overlay_) remarks_.add_whole("of chords, the top note is taken");
  place(std::move(top));
}

void AbcVoice::take_grace(std::string_view& text) {
  text.remove_prefix(1);
  while (!text.empty() && text.front() != '}') {
    const std::string_view before = text;
    if (begins_note(text.front())) {
      auto note = parse_note(text);
      if (note && !overlay_) {
        note->at = now_;
        note->length = Fraction(0);
        note->grace = true;
        if (++note_count_ > most_score_notes)
          refuse_score(file_, fmt::format("has more than {} notes", most_score_notes), "give one tune");
        measure().notes.push_back(std::move(*note));
      }
    }
    if (text.size() == before.size()) text.remove_prefix(1);
  }
  if (!text.empty()) text.remove_prefix(1);
}

void AbcVoice::take_rest(std::string_view& text) {
  const char sign = text.front();
  text.remove_prefix(1);
  const Fraction multiple = take_abc_length(text);
  if (overlay_) return;
  tied_.reset();
  fermata_ = false;
  before_is_note_ = false;
  if (sign == 'z' || sign == 'x') {
    Fraction length = length_of(multiple) * std::exchange(broken_, Fraction(1));
    if (tuplet_.notes_left > 0) {
      length = length * tuplet_.factor;
      --tuplet_.notes_left;
    }
    return pass(length);
  }
  const auto bars = static_cast<int>(std::max(1.0, multiple.value()));
  for (int i = 0; i < bars; ++i) {
    if (i > 0) close_measure(false);
    pass(bar_length(meter_.value_or(Meter{4, 4})));
  }
}

/// "(3", "(3:2:4": p notes in the time of q, for the next r.
void AbcVoice::take_tuplet(std::string_view& text) {
  text.remove_prefix(1);
  const int p = take_small_number(text);
  int q = 0, r = 0;
  if (text.starts_with(':')) {
    text.remove_prefix(1);
    q = take_small_number(text);
    if (text.starts_with(':')) {
      text.remove_prefix(1);
      r = take_small_number(text);
    }
  }
  if (p < 2) return;
  const bool compound = meter_ && meter_->count % 3 == 0 && meter_->count > 3;
  if (q == 0) q = p == 2 || p == 4 || p == 8 ? 3 : p == 3 || p == 6 ? 2 : compound ? 3 : 2;
  tuplet_ = {Fraction(q, p), r == 0 ? p : r};
}

/// "a>b": the first is dotted, the second halved; more signs, more dots.
void AbcVoice::take_broken_rhythm(std::string_view& text) {
  const char sign = text.front();
  int count = 0;
  for (; text.starts_with(sign); text.remove_prefix(1)) ++count;
  if (!before_ || overlay_) return;
  const std::int64_t parts = std::int64_t{1} << std::min(count, 4);
  const Fraction longer(2 * parts - 1, parts), shorter(1, parts);
  const Fraction changed = *before_ * (sign == '>' ? longer : shorter);
  broken_ = sign == '>' ? shorter : longer;
  now_ = now_ - *before_ + changed;
  if (before_is_note_) {
    auto& notes = measure().notes;
    const auto last = std::find_if(notes.rbegin(), notes.rend(), [](const Note& note) { return !note.grace; });
    if (last != notes.rend()) last->length = changed;
    for (Note& note : notes)  // graces written between the two
      if (note.grace && last != notes.rend() && last->at < note.at) note.at = now_;
  }
  before_ = changed;
}

void AbcVoice::music(std::string_view text) {
  while (!text.empty()) {
    const char c = text.front();
    const auto quoted = [&](char end) {
      const std::size_t close = text.find(end, 1);
      const std::string_view inside = close == std::string_view::npos ? std::string_view() : text.substr(1, close - 1);
      text.remove_prefix(close == std::string_view::npos ? 1 : close + 1);
      return inside;
    };
    if (begins_note(c)) {
      take_note(text);
    } else if (c == '|' || c == ':') {
      const std::size_t taken = take_bar(text);
      text.remove_prefix(std::max<std::size_t>(taken, 1));
    } else if (c == '[') {
      const std::size_t taken = take_bracket(text);
      if (taken > 0)
        text.remove_prefix(taken);
      else
        take_chord(text);
    } else if (c == 'z' || c == 'x' || c == 'Z' || c == 'X') {
      take_rest(text);
    } else if (c == '"') {
      quoted('"');
    } else if (c == '!' || c == '+') {
      decorate(quoted(c));
    } else if (c == '{') {
      take_grace(text);
    } else if (c == '(' && text.size() > 1 && is_digit_sign(text[1])) {
      take_tuplet(text);
    } else if (c == '>' || c == '<') {
      take_broken_rhythm(text);
    } else if (c == '-') {
      auto& notes = measure().notes;
      if (!overlay_ && !notes.empty() && before_is_note_) {
        notes.back().tie_begins = true;
        tied_ = notes.back();
      }
      text.remove_prefix(1);
    } else if (c == '&') {
      if (!overlay_) remarks_.add_whole("voices written over others (&) are left out");
      overlay_ = true;
      text.remove_prefix(1);
    } else {
      shorthand(c);
      text.remove_prefix(1);
    }
  }
}

}  // namespace firmus::score
