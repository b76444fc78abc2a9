#include "score_sections.hpp"

#include <algorithm>
#include <set>

namespace firmus::melody {
namespace {

using score::Measure;
using score::Note;
using score::Part;
using score::PlayedMeasure;

/// Measures that are always played one after the other, as played once.
struct Stretch {
  std::vector<PlayedItem> items;
  std::vector<std::optional<std::string>> words;  ///< of each item
};

/// Plays the measures and ties what is tied in that order.
class Stretches {
 public:
  Stretches(const Part& part, std::optional<int> verse) : part_(part), verse_(verse) {
    for (const Measure& measure : part.measures)
      for (const Note& note : measure.notes)
        for (const score::Syllable& syllable : note.words) first_verse_ = std::min(first_verse_, syllable.verse);
  }

  void play(const std::vector<PlayedMeasure>& order) {
    const std::set<std::size_t> begins = begins_of_sections(order);
    for (const PlayedMeasure& played : order) {
      if (begins.contains(played.index)) stretches_.emplace_back();
      measure(played);
    }
  }

  std::vector<Stretch> take() { return std::move(stretches_); }

 private:
  /// Where a measure does not follow the one that is printed before it, or is followed by another than the next.
  static std::set<std::size_t> begins_of_sections(const std::vector<PlayedMeasure>& order) {
    std::set<std::size_t> begins{order.front().index};
    for (std::size_t i = 1; i < order.size(); ++i) {
      if (order[i].index == order[i - 1].index + 1) continue;
      begins.insert(order[i].index);
      begins.insert(order[i - 1].index + 1);
    }
    return begins;
  }

  void measure(const PlayedMeasure& played) {
    const Measure& measure = part_.measures[played.index];
    const int verse = verse_of(measure, played.time);
    Fraction now;
    for (const Note& note : measure.notes) {
      if (now < note.at) rest(played.index, now, note.at - now);
      now = note.at + note.length;
      add(played.index, note, verse);
    }
    if (now < measure.length) rest(played.index, now, measure.length - now);
  }

  int verse_of(const Measure& measure, int time) const {
    const int wanted = verse_.value_or(first_verse_ + time - 1);
    for (const Note& note : measure.notes)
      for (const score::Syllable& syllable : note.words)
        if (syllable.verse == wanted) return wanted;
    return first_verse_;
  }

  Stretch& now() { return stretches_.back(); }

  void rest(std::size_t measure, const Fraction& at, const Fraction& quarters) {
    now().items.push_back({ItemKind::rest, {}, measure, at, quarters, NoteMark::none, false});
    now().words.emplace_back();
    tied_.reset();
  }

  void add(std::size_t measure, const Note& note, int verse) {
    const bool held = !note.grace && tied_ && note.tie_ends && tied_->pitch == note.pitch;
    PlayedItem item{held ? ItemKind::hold : ItemKind::note,
                    held ? SpelledPitch{} : note.pitch,
                    measure,
                    note.at,
                    note.length,
                    NoteMark::none,
                    note.breath_after};
    now().words.push_back(held ? std::nullopt : word(note, verse));
    now().items.push_back(item);
    if (!held && !note.grace) head_ = {stretches_.size() - 1, now().items.size() - 1};
    if (note.fermata)
      stretches_[note.grace ? stretches_.size() - 1 : head_.first]
          .items[note.grace ? now().items.size() - 1 : head_.second]
          .mark = NoteMark::free;
    // A breath inside a tie would end the note: it belongs behind it.
    if (held && last_note_) stretches_[last_note_->first].items[last_note_->second].breath_after = false;
    if (note.grace) return;
    last_note_ = {stretches_.size() - 1, now().items.size() - 1};
    tied_.reset();
    if (note.tie_begins) tied_ = note;
  }

  static std::optional<std::string> word(const Note& note, int verse) {
    for (const score::Syllable& syllable : note.words)
      if (syllable.verse == verse) return syllable.text;
    return std::nullopt;
  }

  using Place = std::pair<std::size_t, std::size_t>;  // stretch, item
  const Part& part_;
  std::optional<int> verse_;
  int first_verse_ = 99;
  std::vector<Stretch> stretches_;
  std::optional<Note> tied_;        ///< the note before, if it may be held
  std::optional<Place> last_note_;  ///< note or hold
  Place head_;                      ///< the last note that is no hold and no grace note
};

/// Stretches with the same notes are one section; one that is tied into another way is a section of its own.
PlayedSections sections_of(std::vector<Stretch> stretches) {
  PlayedSections played;
  for (Stretch& stretch : stretches) {
    const auto found = std::find_if(played.sections.begin(), played.sections.end(),
                                    [&](const SectionOfText& section) { return section.items == stretch.items; });
    played.order.push_back(static_cast<std::size_t>(found - played.sections.begin()));
    if (found == played.sections.end()) {
      played.sections.push_back({std::move(stretch.items), {std::move(stretch.words)}});
    } else {
      found->words.push_back(std::move(stretch.words));
    }
  }
  return played;
}

}  // namespace

PlayedSections played_sections(const Part& part, const std::vector<PlayedMeasure>& order, std::optional<int> verse) {
  Stretches stretches(part, verse);
  stretches.play(order);
  return sections_of(stretches.take());
}

}  // namespace firmus::melody
