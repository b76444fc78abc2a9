#include "unroll.hpp"

#include <fmt/format.h>

#include <stdexcept>

namespace firmus::melody {
namespace {

/// Limit of all items, since rests, holds and breaths are unrolled too.
constexpr std::int64_t most_items = std::int64_t{10} * most_notes;

class Unroller {
 public:
  Unroller(const std::vector<Tempo>& tempos, Diagnostics& errors) : tempos_(tempos), errors_(errors) {}

  void add(const UnrolledItem& played) {
    switch (played.item->kind) {
      case ItemKind::note:
        note(played);
        break;
      case ItemKind::rest:
        rest(*played.item);
        break;
      case ItemKind::hold:
        hold(*played.item);
        break;
      case ItemKind::breath:
        breath();
        break;
    }
  }

  std::vector<WrittenNote> take_notes() { return std::move(notes_); }

 private:
  /// `held_grace`: grace notes that stand within a note that may still be held.
  enum class Before { nothing, note, grace, held_grace, rest, breath };

  void note(const UnrolledItem& played) {
    const Item& item = *played.item;
    WrittenNote note;
    note.index = static_cast<int>(notes_.size());
    note.pitch = item.pitch;
    note.beats = item.beats;
    note.sounds_semitones = item.sounds_semitones;
    note.onset_quarters = now_;
    note.onset_beats = now_beats_;
    note.length_quarters = item.quarters();
    note.mark = item.mark;
    note.grace = item.is_grace();
    note.section = played.section->name;
    note.pass = played.pass;
    note.bar = item.bar;
    note.beat = item.beat;
    note.phrase = phrase_;
    note.word = word_in_pass(item, played.pass);
    note.key = item.key;
    note.meter = item.meter;
    if (item.tempo) note.quarters_per_minute = tempos_.at(*item.tempo).quarters_per_minute();
    note.line = item.position.line;
    note.column = item.position.column;
    pass_time(item);
    before_ = !note.grace                                                ? Before::note
              : before_ == Before::note || before_ == Before::held_grace ? Before::held_grace
                                                                         : Before::grace;
    if (!note.grace) held_ = notes_.size();
    phrase_has_notes_ = true;
    notes_.push_back(std::move(note));
  }

  void rest(const Item& item) {
    pass_time(item);
    before_ = Before::rest;
  }

  void pass_time(const Item& item) {
    now_ = now_ + item.quarters();
    now_beats_ = now_beats_ + item.beats;
  }

  // A hold under another meter is counted in the beats of that meter, so that a note ends where its beats say.
  void hold(const Item& item) {
    if (before_ != Before::note && before_ != Before::held_grace) return cannot_hold(item);
    WrittenNote& held = notes_[held_];
    held.length_quarters = held.length_quarters + item.quarters();
    held.beats = held.beats + item.beats;
    pass_time(item);
    before_ = Before::note;
  }

  void cannot_hold(const Item& item) {
    switch (before_) {
      case Before::rest:
        return errors_.add(item.position, "hold has no note to hold: a rest stands before it",
                           "write the note again, or a rest");
      case Before::breath:
        return errors_.add(item.position, "hold has no note to hold: a breath stands before it",
                           "put the breath behind it");
      case Before::grace:
        return errors_.add(item.position, "hold has no note to hold: a grace note has no length",
                           "give the note before it a length");
      default:
        return errors_.add(item.position, "hold has no note to hold", "write a note before it");
    }
  }

  void breath() {
    if (phrase_has_notes_) ++phrase_;
    phrase_has_notes_ = false;
    before_ = Before::breath;
  }

  const std::vector<Tempo>& tempos_;
  Diagnostics& errors_;
  std::vector<WrittenNote> notes_;
  Fraction now_, now_beats_;
  std::size_t held_ = 0;  ///< the last note that is no grace note
  Before before_ = Before::nothing;
  int phrase_ = 1;
  bool phrase_has_notes_ = false;
};

}  // namespace

bool within_limits(const ParsedMelody& parsed, Diagnostics& errors) {
  std::vector<std::int64_t> notes(parsed.sections.size());
  for (std::size_t i = 0; i < parsed.sections.size(); ++i)
    for (const Item& item : parsed.sections[i].items) notes[i] += item.kind == ItemKind::note ? 1 : 0;
  std::int64_t all_notes = 0, all_items = 0;
  for (const std::size_t index : parsed.order) {
    all_notes += notes[index];
    all_items += static_cast<std::int64_t>(parsed.sections[index].items.size());
  }
  if (all_notes > most_notes)
    errors.add({}, fmt::format("has {} notes when played out, more than 20 000", all_notes), "split it");
  else if (all_notes > 0 && all_items > most_items)
    errors.add({}, fmt::format("has {} notes, rests and holds when played out, more than 200 000", all_items),
               "split it");
  else if (all_notes == 0)
    errors.add({}, all_items > 0 ? "has only rests" : "has no notes", "write at least one note, such as C4");
  return !errors.any();
}

std::vector<WrittenNote> unroll(const ParsedMelody& parsed, Diagnostics& errors) {
  Unroller unroller(parsed.tempos, errors);
  SourcePosition current_position;
  try {
    visit_unrolled(parsed, [&](const UnrolledItem& played) {
      current_position = played.item->position;
      unroller.add(played);
    });
  } catch (const std::overflow_error&) {
    errors.add(current_position, "the lengths up to here have no exact sum that fits", "use simpler fractions");
  }
  return unroller.take_notes();
}

}  // namespace firmus::melody
