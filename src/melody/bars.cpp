#include "bars.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "beats.hpp"
#include "source.hpp"

namespace firmus::melody {
namespace {

struct Bar {
  std::optional<Meter> meter;  ///< without one, bars are numbered only where numbers are given, and may have any length
  std::size_t section = 0;
  std::vector<Item*> items;
  Fraction sum;               ///< in beats
  int empty_bars_before = 0;  ///< bars before it in which no item begins: a long note, with bars counted by the meter
  bool first_of_section = false, last_of_section = false;
  bool is_completed = false;    ///< short, but another bar completes it
  bool starts_mid_bar = false;  ///< its first part is another bar: an upbeat of one beat in 3/4 is beat 3
  int number = 0;

  Fraction full() const { return meter ? Fraction(meter->count) : sum; }
  bool is_short() const { return sum < full(); }
  std::optional<int> given_number() const { return items.front()->given_bar; }
  std::optional<Fraction> given_beat() const { return items.front()->given_beat; }
  /// Where it begins within its bar, in beats.
  Fraction shift() const { return starts_mid_bar ? full() - sum : Fraction(0); }
};

bool complete_each_other(const Bar& end, const Bar& begin) {
  return end.is_short() && begin.is_short() && end.meter == begin.meter && end.sum + begin.sum == end.full();
}

class BarCounter {
 public:
  BarCounter(ParsedMelody& parsed, Diagnostics& warnings) : parsed_(parsed), warnings_(warnings) {}

  SourcePosition current_position() const { return current_position_; }

  void count() {
    collect();
    share_bars_across_sections();
    number();
    place_items();
    warn();
  }

 private:
  void collect() {
    for (std::size_t section = 0; section < parsed_.sections.size(); ++section) {
      const std::size_t first = bars_.size();
      const Item* before = nullptr;
      for (Item& item : parsed_.sections[section].items) {
        current_position_ = item.position;
        if (item.kind == ItemKind::breath) continue;
        if (item.given_bar) numbered_ = item.meter_change;
        if (item.meter || numbered_ == item.meter_change) before = collect_item(item, before, section);
      }
      if (first == bars_.size()) continue;
      bars_[first].first_of_section = true;
      bars_.back().last_of_section = true;
    }
  }

  const Item* collect_item(Item& item, const Item* before, std::size_t section) {
    const bool same_run = before && before->meter_change == item.meter_change;
    if (!same_run || before->bar_lines != item.bar_lines)
      bars_.push_back({item.meter, section, {}, {}, 0, false, false, false, false, 0});
    else if (item.meter && !parsed_.has_bar_lines)
      split_full_bars(section);
    item.beat = bars_.back().sum;  // from 0, without the part of the bar that an earlier section may hold
    bars_.back().items.push_back(&item);
    bars_.back().sum = bars_.back().sum + item.beats;
    return &item;
  }

  /// Bars counted by the meter: moves what exceeds a full bar to the next bars.
  void split_full_bars(std::size_t section) {
    Bar& bar = bars_.back();
    if (bar.is_short()) return;
    const Fraction ratio = bar.sum / bar.full();
    const std::int64_t bars = ratio.num / ratio.den;
    Bar next{bar.meter, section, {}, bar.sum - Fraction(bars) * bar.full(), static_cast<int>(bars - 1), false, false,
             false,     false,   0};
    bar.sum = bar.full();
    bars_.push_back(std::move(next));
  }

  void share_bars_across_sections() {
    if (bars_.empty()) return;
    std::vector<Bar*> first(parsed_.sections.size()), last(parsed_.sections.size());
    for (Bar& bar : bars_) {
      if (bar.first_of_section) first[bar.section] = &bar;
      if (bar.last_of_section) last[bar.section] = &bar;
    }
    const auto share = [&](std::size_t from, std::size_t to) {
      if (!last[from] || !first[to] || last[from] == first[to] || !complete_each_other(*last[from], *first[to])) return;
      last[from]->is_completed = first[to]->is_completed = first[to]->starts_mid_bar = true;
    };
    for (std::size_t i = 0; i + 1 < parsed_.order.size(); ++i) share(parsed_.order[i], parsed_.order[i + 1]);
    if (!parsed_.order.empty()) share(parsed_.order.back(), parsed_.order.front());
  }

  bool may_be_upbeat(std::size_t i) const { return i == 0 && parsed_.has_bar_lines && bars_[i].is_short(); }
  bool is_upbeat(std::size_t i) const { return may_be_upbeat(i) && bars_[i].given_number().value_or(0) == 0; }

  bool continues_bar_before(std::size_t i) const {
    return i > 0 && !is_upbeat(i - 1) && bars_[i].first_of_section && complete_each_other(bars_[i - 1], bars_[i]);
  }

  void number() {
    int printed = 0;
    for (std::size_t i = 0; i < bars_.size(); ++i) {
      Bar& bar = bars_[i];
      const bool upbeat = is_upbeat(i);
      if (upbeat)
        bar.is_completed = bar.starts_mid_bar = true;
      else if (continues_bar_before(i))
        bar.is_completed = bar.starts_mid_bar = bars_[i - 1].is_completed = true;
      else
        printed += 1 + bar.empty_bars_before;
      take_given_place(i, may_be_upbeat(i) ? 0 : printed);
      if (bar.given_number()) printed = *bar.given_number();
      bar.number = printed;
    }
  }

  /// `counted`: its number if none were given.
  void take_given_place(std::size_t i, int counted) {
    Bar& bar = bars_[i];
    if (!bar.given_number()) return;
    bar.items.front()->bar_needs_beat = bar.given_beat() && !(*bar.given_beat() == bar.shift() + Fraction(1));
    const bool first_without_meter = !bar.meter && (i == 0 || bars_[i - 1].meter);
    bar.items.front()->bar_needs_number =
        first_without_meter || *bar.given_number() != counted || bar.items.front()->bar_needs_beat;
    if (!bar.given_beat() || !(Fraction(1) < *bar.given_beat())) return;
    bar.is_completed = true;
    if (i > 0 && bars_[i - 1].is_short()) bars_[i - 1].is_completed = true;
  }

  void place_items() {
    for (Bar& bar : bars_) {
      const Fraction shift = bar.given_beat() ? *bar.given_beat() - Fraction(1) : bar.shift();
      for (Item* item : bar.items) {
        item->bar = bar.number;
        item->beat = bar.meter ? std::optional(*item->beat + shift + Fraction(1)) : std::nullopt;
      }
    }
  }

  void warn() {
    for (const Bar& bar : bars_) {
      const bool counted_by_meter = !parsed_.has_bar_lines;
      if (counted_by_meter || !bar.meter || bar.given_beat() || bar.is_completed || bar.sum == bar.full()) continue;
      warnings_.add(bar.items.front()->position,
                    fmt::format("bar {} has {}, its meter {}/{} asks for {}", bar.number,
                                melody::counted(beats_text(bar.sum), "beat"), bar.meter->count, bar.meter->unit,
                                bar.meter->count),
                    "check its lengths and bar lines");
    }
  }

  ParsedMelody& parsed_;
  Diagnostics& warnings_;
  std::vector<Bar> bars_;
  SourcePosition current_position_;
  std::optional<int> numbered_;  ///< the stretch without a meter in which a bar's number was given last
};

}  // namespace

void count_bars(ParsedMelody& parsed, Diagnostics& errors, Diagnostics& warnings) {
  BarCounter counter(parsed, warnings);
  try {
    counter.count();
  } catch (const std::overflow_error&) {
    errors.add(counter.current_position(), "the lengths of this bar have no exact sum that fits",
               "use simpler fractions");
  }
}

}  // namespace firmus::melody
