#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/base.hpp"
#include "row_fields.hpp"
#include "text_blocks.hpp"

namespace firmus::report {
namespace {

constexpr std::size_t most_furthest = 3;
constexpr int word_columns = 12, fewest_word_columns = 4;
constexpr int section_columns = 8;

bool has_repeats(const Result& result) {
  return std::any_of(result.notes.begin(), result.notes.end(),
                     [](const NoteResult& n) { return n.pass.value_or(1) > 1; });
}

/// "1st time", "2nd time", "11th time"
std::string time_in_words(int pass) {
  const bool teen = pass % 100 / 10 == 1;
  const char* ending = teen ? "th" : pass % 10 == 1 ? "st" : pass % 10 == 2 ? "nd" : pass % 10 == 3 ? "rd" : "th";
  return fmt::format("{}{} time", pass, ending);
}

/// The name of the note heard in place of a written one, spelled in the key and octave of the written melody; empty
/// when `written` is not a note name.
std::string heard_as(const Result& result, const std::string& written, double error_cents) {
  const auto pitch = parse_pitch(written);
  if (!std::holds_alternative<SpelledPitch>(pitch)) return {};
  const auto key = result.melody && result.melody->key ? parse_key(*result.melody->key) : std::nullopt;
  const double midi = midi_key(std::get<SpelledPitch>(pitch)) + error_cents / 100;
  return pitch_name(nearest_pitch(hz_from_midi(std::round(midi)), Hertz(440.0), key));
}

/// The cells of one line in the list of notes with the largest errors, before alignment.
struct FurthestLine {
  std::string place, note, word, off, listen;
  Tint tint = Tint::none;
};

FurthestLine line_of(const Result& result, const NoteResult& note, double error) {
  FurthestLine line;
  line.place = place_of(result, note);
  line.note = to_text(note_cell(note, note.written ? "written" : "sung"));
  if (note.word) line.word = display_name(*note.word);
  line.off = cents_off(error);
  line.tint = tint_of(error);
  if (note.verdict == Verdict::other_note && note.written) {
    const std::string heard = heard_as(result, *note.written, error);
    if (const auto octave = other_octave_in_words(note))
      line.off = *octave + " (" + heard + ")";
    else
      line.off = heard + " instead";
  }
  if (note.onset_s) line.listen = "at " + clock_time(*note.onset_s);
  return line;
}

void add_aligned(Page& page, const std::vector<FurthestLine>& lines, Colour colour) {
  const auto widest = [&](std::string FurthestLine::*cell) {
    int columns = 0;
    for (const FurthestLine& line : lines) columns = std::max(columns, code_points(line.*cell));
    return columns;
  };
  const int place = widest(&FurthestLine::place), note = widest(&FurthestLine::note), off = widest(&FurthestLine::off);
  const int room = page_columns - (2 + place + 2 + note + 2 + off + 2 + widest(&FurthestLine::listen)) - 2;
  int word = std::min({widest(&FurthestLine::word), word_columns, room});
  if (room < fewest_word_columns) word = 0;
  for (const FurthestLine& line : lines)
    page.line("  " + padded(line.place, place + 2) + padded(line.note, note + 2) +
              (word > 0 ? padded(shortened(line.word, word), word + 2) : "") +
              painted(padded(line.off, off + 2), line.tint, colour) + line.listen);
}

}  // namespace

std::optional<double> error_of(const Result& result, const NoteResult& note) {
  if (!result.melody) return note.errors.own_cents ? note.errors.own_cents : note.errors.concert_cents;
  return error_against(note.errors, result.settings.reference);
}

bool is_judged(const NoteResult& note) {
  return note.verdict && *note.verdict != Verdict::unclear;
}

std::string place_of(const Result& result, const NoteResult& note) {
  if (!note.bar) return note.index ? fmt::format("note {}", *note.index + 1) : "";
  std::string place;
  if (note.section) place = shortened(display_name(*note.section), section_columns) + " ";
  place += *note.bar == 0 ? "pick-up" : fmt::format("bar {}", *note.bar);
  if (note.beat) place += " beat " + to_text(Number{*note.beat, 2, true});
  return note.section && has_repeats(result) ? place + ", " + time_in_words(note.pass.value_or(1)) : place;
}

std::string bar_of(const Result& result, int index) {
  for (const NoteResult& note : result.notes) {
    if (note.index != index || note.status == NoteStatus::restart) continue;
    if (note.bar == 0 && !note.section) return "the pick-up";
    NoteResult bar = note;
    bar.beat.reset();
    return place_of(result, bar);
  }
  return fmt::format("note {}", index + 1);
}

std::vector<const NoteResult*> furthest_first(const Result& result) {
  std::vector<const NoteResult*> far;
  for (const NoteResult& note : result.notes) {
    if (is_judged(note) && error_of(result, note)) far.push_back(&note);
  }
  const auto distance = [&](const NoteResult* note) { return std::fabs(*error_of(result, *note)); };
  std::stable_sort(far.begin(), far.end(),
                   [&](const NoteResult* a, const NoteResult* b) { return distance(a) > distance(b); });
  return far;
}

void add_furthest(Page& page, const Result& result, Colour colour) {
  std::vector<const NoteResult*> far = furthest_first(result);
  if (far.empty()) return;
  const NoteResult& furthest = *far.front();
  std::erase_if(far, [](const NoteResult* note) { return note->verdict == Verdict::in_tune; });
  if (far.empty()) {
    page.paragraph(
        fmt::format("Furthest out: {}, {}.", place_of(result, furthest), cents_off(*error_of(result, furthest))));
    return;
  }
  far.resize(std::min(far.size(), most_furthest));
  page.line(far.size() == 1 ? "The note most out of tune, and when to listen"
                            : fmt::format("The {} notes most out of tune, and when to listen", far.size()));
  std::vector<FurthestLine> lines;
  for (const NoteResult* note : far) lines.push_back(line_of(result, *note, *error_of(result, *note)));
  add_aligned(page, lines, colour);
}

}  // namespace firmus::report
