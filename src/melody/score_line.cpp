#include "score_line.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "headers.hpp"
#include "parsed_melody_builder.hpp"
#include "read.hpp"
#include "score_sections.hpp"
#include "text_writer.hpp"
#include "unroll.hpp"

namespace firmus::melody {
namespace {

using score::Measure;
using score::Part;

/// What holds at the begin of each measure, as printed.
struct Setting {
  std::optional<Key> key;
  std::optional<double> quarters_per_minute;
  int sounds_semitones = 0;

  void take(const score::Change& change) {
    if (change.key) key = change.key;
    if (change.quarters_per_minute) quarters_per_minute = change.quarters_per_minute;
    if (change.sounds_semitones) sounds_semitones = *change.sounds_semitones;
  }
};

class ScoreText {
 public:
  ScoreText(const Part& part, Diagnostics& warnings) : part_(part), builder_(warnings) {
    Setting setting;
    for (const Measure& measure : part.measures) {
      settings_.push_back(setting);
      for (const score::Change& change : measure.changes) {
        if (change.at == Fraction(0)) settings_.back().take(change);
        setting.take(change);
      }
    }
  }

  ParsedMelody make(const PlayedSections& played) {
    const bool named = played.order.size() > 1;
    for (std::size_t i = 0; i < played.sections.size(); ++i) {
      if (named) builder_.open_section(section_name(i), {});
      section(played.sections[i]);
    }
    builder_.bar_line();
    if (named)
      for (const std::size_t index : played.order)
        builder_.parsed().declared_order.push_back({section_name(index), {}});
    return builder_.finish();
  }

 private:
  void section(const SectionOfText& section) {
    const auto passes = passes_with_words(section);
    std::optional<std::size_t> measure;
    for (std::size_t i = 0; i < section.items.size(); ++i) {
      const PlayedItem& played = section.items[i];
      if (measure != played.measure) begin_measure(played.measure, measure);
      measure = played.measure;
      take_changes_up_to(played);
      item(played, section, passes, i);
    }
  }

  /// Passes whose words are others than those of the pass before.
  static std::vector<std::size_t> passes_with_words(const SectionOfText& section) {
    std::vector<std::size_t> passes;
    const auto has_words = [](const auto& words) {
      return std::any_of(words.begin(), words.end(), [](const auto& word) { return word.has_value(); });
    };
    for (std::size_t pass = 0; pass < section.words.size(); ++pass)
      if (pass == 0 ? has_words(section.words[0]) : section.words[pass] != section.words[pass - 1])
        passes.push_back(pass);
    return passes;
  }

  void begin_measure(std::size_t index, std::optional<std::size_t> before) {
    const Measure& measure = part_.measures[index];
    set(settings_[index]);
    next_change_ = 0;
    const bool new_meter = measure.meter != meter_ || (measure.meter_printed && before);
    const bool goes_on = before && measure.continues_bar() && !new_meter;
    if (new_meter) builder_.set_meter(measure.meter);
    meter_ = measure.meter;
    if (goes_on) return;
    builder_.bar_line();
    std::optional<Fraction> beat;
    if (measure.meter) beat = measure.from_bar_begin * Fraction(measure.meter->unit, 4) + Fraction(1);
    builder_.set_bar(measure.number, beat);
  }

  /// Changes within the measure hold from the first item that begins with them or after them.
  void take_changes_up_to(const PlayedItem& played) {
    const auto& changes = part_.measures[played.measure].changes;
    for (; next_change_ < changes.size() && !(played.at < changes[next_change_].at); ++next_change_) {
      Setting setting = current_;
      setting.take(changes[next_change_]);
      set(setting);
    }
  }

  void set(const Setting& setting) {
    if (setting.key && setting.key != current_.key) builder_.set_key(*setting.key);
    builder_.set_sounds(setting.sounds_semitones);
    if (setting.quarters_per_minute && setting.quarters_per_minute != current_.quarters_per_minute)
      tempo_ = setting.quarters_per_minute;
    current_ = setting;
  }

  void set_tempo() {
    if (!tempo_) return;
    const int unit = meter_ ? meter_->unit : 4;
    if (auto tempo = parse_tempo(fmt::format("{:.6g}", *tempo_ * unit / 4.0))) builder_.set_tempo(std::move(*tempo));
    tempo_.reset();
  }

  void item(const PlayedItem& played, const SectionOfText& section, const std::vector<std::size_t>& passes,
            std::size_t index) {
    set_tempo();
    Item item;
    item.kind = played.kind;
    item.pitch = played.pitch;
    item.beats = played.quarters * Fraction(meter_ ? meter_->unit : 4, 4);
    item.mark = played.mark;
    if (played.kind == ItemKind::note)
      for (const std::size_t pass : passes)
        item.words.push_back({static_cast<int>(pass) + 1, section.words[pass][index]});
    builder_.add(std::move(item));
    if (played.breath_after) builder_.add_breath({});
  }

  const Part& part_;
  ParsedMelodyBuilder builder_;
  std::vector<Setting> settings_;  ///< at the begin of each measure
  Setting current_;
  std::size_t next_change_ = 0;  ///< of the measure
  std::optional<double> tempo_;  ///< to be set at the next item, whose meter has its unit
  std::optional<Meter> meter_;
};

}  // namespace

std::string text_of_score(const score::Score& score, const Part& part, std::optional<int> verse,
                          const std::string& file) {
  const auto order = score::play_order(part);
  Diagnostics errors(file, "error"), warnings(file, "warning");
  if (order.empty())
    errors.add({}, "has more than 20 000 bars when its repeats are played out", "check its repeat signs");
  errors.throw_if_any();
  ParsedMelody parsed = ScoreText(part, warnings).make(played_sections(part, order, verse));
  lay_out(parsed, errors, warnings);
  Melody head;
  head.title = score.title;
  return text_of(parsed, head);
}

}  // namespace firmus::melody
