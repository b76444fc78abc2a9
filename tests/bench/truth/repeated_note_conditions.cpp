// Conditions: notes of one pitch in a row on one vowel, told apart by nothing but a dip of the level; and such notes
// left out.
#include <fmt/format.h>

#include <cmath>

#include "conditions.hpp"
#include "lines.hpp"
#include "synth.hpp"

namespace firmus::truth {
namespace {

constexpr double least_share = 0.2, most_share = 0.6;  // of notes that repeat the one before

struct Repeats {
  Line line;
  double quarters_per_minute = 90;
  singer::Plan plan;
};

Repeats repeats_of(const std::string& melody_name, std::uint64_t seed, double dip_db) {
  const Melody melody = melody_named(melody_name);
  synth::Random random(seed * 31 + 7);
  Repeats repeats;
  repeats.line = with_repeated_notes(melody_name, random.between(least_share, most_share), seed);
  repeats.quarters_per_minute = melody.notes.front().quarters_per_minute.value_or(90);
  repeats.plan = natural_plan(melody, seed);
  repeats.plan.syllables = {"a"};
  repeats.plan.voice.legato_dip = std::pow(10, -dip_db / 20);
  return repeats;
}

Condition repeated(const std::string& name, double right_percent, double dip_db) {
  Condition condition;
  condition.name = name;
  condition.right_percent = right_percent;
  condition.clean = true;
  condition.make = [dip_db](const std::string& melody_name, std::uint64_t seed) {
    const Repeats repeats = repeats_of(melody_name, seed, dip_db);
    return sing_line(fmt::format("{}.repeats.{}", melody_name, seed), repeats.line, repeats.line,
                     repeats.quarters_per_minute, repeats.plan);
  };
  return condition;
}

/// One or two of the repeated notes of each take are not sung.
Condition left_out(const std::string& name, LeftOut how) {
  constexpr double dip_db = 6;
  Condition condition;
  condition.name = name;
  condition.left_out_percent = 80;
  condition.clean = true;
  condition.make = [how](const std::string& melody_name, std::uint64_t seed) {
    const Repeats repeats = repeats_of(melody_name, seed, dip_db);
    const std::vector<int> all = lone_repeats(repeats.line);
    std::vector<int> chosen;
    if (!all.empty()) chosen.push_back(all[all.size() / 4]);
    if (all.size() > 3) chosen.push_back(all[3 * all.size() / 4]);
    TruthTake take = sing_line(fmt::format("{}.repeats.{}", melody_name, seed), repeats.line,
                               without_notes(repeats.line, chosen, how), repeats.quarters_per_minute, repeats.plan);
    if (how == LeftOut::held_over) take.held_over = chosen;
    return take;
  };
  return condition;
}

}  // namespace

std::vector<Condition> repeated_note_conditions() {
  return {repeated("repeats, 6 dB dips", 95, 6), repeated("repeats, 3 dB dips", 85, 3),
          left_out("repeat silent", LeftOut::silence), left_out("repeat cut out", LeftOut::cut_out),
          left_out("repeat held over", LeftOut::held_over)};
}

}  // namespace firmus::truth
