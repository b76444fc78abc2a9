// Conditions: instruments.
#include "conditions.hpp"
#include "instruments.hpp"

namespace firmus::truth {
namespace {

Condition slow_bow(const std::string& name, int lowest_key, int highest_key) {
  Condition condition;
  condition.name = name;
  condition.right_percent = 99;
  condition.cents = ErrorTarget{1, 4};
  condition.onset_ms = ErrorTarget{15, 50};
  condition.every = 2;
  condition.clean = true;
  condition.make = [lowest_key, highest_key](const std::string& melody_name, std::uint64_t seed) {
    return play_slow_bow(lowest_key, highest_key, melody_name, seed);
  };
  return condition;
}

}  // namespace

std::vector<Condition> instrument_conditions() {
  std::vector<Condition> all;
  for (const Instrument& instrument : sound_font_instruments()) {
    Condition condition;
    condition.name = instrument.name;
    condition.right_percent = 98;
    condition.cents = ErrorTarget{1, 3.5};
    condition.onset_ms = ErrorTarget{15, 60};
    condition.every = 2;
    condition.clean = true;
    if (!sound_font_is_there())
      condition.not_run = "fluidsynth or its small sound font (timgm6mb-soundfont) is not installed";
    condition.make = [&instrument](const std::string& melody_name, std::uint64_t seed) {
      return play_take(instrument, melody_name, seed);
    };
    all.push_back(condition);
  }
  Condition top;
  top.name = "top of the violin";
  top.right_percent = 98;
  top.cents = ErrorTarget{1, 4};
  top.onset_ms = ErrorTarget{15, 60};
  top.every = 2;
  top.clean = true;
  top.make = play_top_of_violin;
  all.push_back(top);
  all.push_back(slow_bow("slow bow, violin", 55, 88));
  all.push_back(slow_bow("slow bow, cello", 36, 69));
  return all;
}

}  // namespace firmus::truth
