// The phrase that contains the target, three times over, slowly and at tempo.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "drill_maker.hpp"

namespace firmus::practice {
namespace {

constexpr double slow_tempo_ratio = 2.0 / 3;  ///< of the written tempo
constexpr int default_bpm = 80;               ///< at tempo, where the melody gives none
constexpr int times_over = 3;

Fraction beats_of(const std::vector<DrillNote>& sounds) {
  Fraction beats;
  for (const DrillNote& sound : sounds) beats = beats + sound.beats;
  return beats;
}

DrillNote silence(const Fraction& beats, bool breath = false) {
  return {std::nullopt, beats, false, breath, std::nullopt};
}

/// Whether the fault is in how a note is reached: the first note of a phrase then has no part in it.
bool is_about_the_way(const DrillMaker& maker) {
  const std::string& group = maker.fault().row.group;
  return group == "interval" || group == "approach" || group == "line";
}

/// The notes of the phrase at the pitch sung, with what is rested between them, from a bar line to a bar line; empty
/// where one lies outside the range.
std::vector<DrillNote> phrase_in_full_bars(const DrillMaker& maker, const Meter& meter) {
  const Melody& melody = maker.melody();
  const int number = melody.note(maker.fault().index).phrase;
  const Fraction quarter_beats(meter.unit, 4), bar(meter.count);  // beats in a quarter note, in a bar
  std::vector<DrillNote> sounds;
  Fraction at;
  for (const WrittenNote& written : melody.notes) {
    if (written.phrase != number || written.grace) continue;
    const auto pitch = maker.sung(written.index);
    if (!pitch || !maker.fits(*pitch)) return {};
    const bool begins = sounds.empty();
    if (begins) {
      Fraction lead = written.beat ? *written.beat - Fraction(1) : Fraction(0);
      while (!(lead < bar)) lead = lead - bar;
      if (Fraction(0) < lead) sounds.push_back(silence(lead));
      at = written.onset_quarters;
    }
    const Fraction gap = (written.onset_quarters - at) * quarter_beats;
    if (Fraction(0) < gap) sounds.push_back(silence(gap));
    const bool aimed = maker.fault().affected.contains(written.index) && (!begins || !is_about_the_way(maker));
    sounds.push_back({pitch, written.length_quarters * quarter_beats, aimed, false, written.word});
    at = written.onset_quarters + written.length_quarters;
  }
  Fraction over = beats_of(sounds);
  while (!(over < bar)) over = over - bar;
  sounds.push_back(silence(Fraction(0) < over ? bar - over : bar, true));  // room for a breath
  return sounds;
}

void add_phrase(DrillMaker& maker, const Meter& meter, const std::vector<DrillNote>& sounds, bool slowly) {
  DrillHeader head = maker.head(slowly ? "The phrase, slowly" : "The phrase, at tempo", Reference::own);
  head.meter = meter;
  if (maker.melody().reference == Reference::concert) head.reference = Reference::concert;
  const double quarters = maker.melody().note(maker.fault().index).quarters_per_minute.value_or(default_bpm);
  const double beats = quarters * meter.unit / 4 * (slowly ? slow_tempo_ratio : 1);
  head.tempo = fmt::format("{}", std::max(20L, std::lround(beats)));
  maker.add(
      slowly ? "phrase-slow" : "phrase", head,
      slowly ? "The phrase three times over, at two thirds of the tempo." : "The phrase three times over, at tempo.",
      sounds);
}

}  // namespace

void add_phrase_drills(DrillMaker& maker) {
  const Meter meter = maker.melody().meter.value_or(Meter{});
  const std::vector<DrillNote> once = phrase_in_full_bars(maker, meter);
  if (once.empty()) return;
  std::vector<DrillNote> sounds;
  for (int time = 0; time < times_over; ++time) sounds.insert(sounds.end(), once.begin(), once.end());
  add_phrase(maker, meter, sounds, true);
  add_phrase(maker, meter, sounds, false);
}

}  // namespace firmus::practice
