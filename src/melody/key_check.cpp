#include <fmt/format.h>

#include <map>
#include <string>

#include "bars.hpp"

namespace firmus::melody {
namespace {

/// How one letter is written under one key.
struct LetterUse {
  int natural = 0;  ///< times it is written as a natural although the key alters it
  int as_key_has_it = 0;
  SpelledPitch first, meant;
  SourcePosition position;
};

/// The accidental of the letter in the key, semitones.
int alter_in_key(const Key& key, char letter) {
  for (int alter = -2; alter <= 2; ++alter) {
    const std::string degree = scale_degree(key, {letter, alter, 4, 0});
    if (degree.size() == 1) return alter;
  }
  return 0;
}

/// The raised sixth and seventh degree of minor are written on purpose.
bool is_usual_alteration(const Key& key, const SpelledPitch& pitch) {
  if (key.mode != Mode::minor && key.mode != Mode::aeolian) return false;
  const std::string degree = scale_degree(key, pitch);
  return degree == "raised 6" || degree == "raised 7";
}

}  // namespace

// Only naturals give a warning: a written sharp or flat is intended. All octaves are counted together.
void check_key_signature(const ParsedMelody& parsed, Diagnostics& warnings) {
  std::map<std::pair<std::string, char>, LetterUse> uses;
  for (const Section& section : parsed.sections)
    for (const Item& item : section.items) {
      if (item.kind != ItemKind::note || !item.key) continue;
      const int in_key = alter_in_key(*item.key, item.pitch.letter);
      if (in_key == 0) continue;
      LetterUse& use = uses[{key_name(*item.key), item.pitch.letter}];
      if (item.pitch.alter == in_key) ++use.as_key_has_it;
      if (item.pitch.alter != 0 || is_usual_alteration(*item.key, item.pitch)) continue;
      if (use.natural++ > 0) continue;
      use.first = item.pitch;
      use.meant = {item.pitch.letter, in_key, item.pitch.octave, 0};
      use.position = item.position;
    }
  for (const auto& [key_and_letter, use] : uses)
    if (use.natural >= 2 && use.as_key_has_it == 0)
      warnings.add(use.position,
                   fmt::format("{} stands outside {} ({} times): is {} meant?", pitch_name(use.first),
                               key_and_letter.first, use.natural, pitch_name(use.meant)),
                   "accidentals are always written, whatever the key");
}

}  // namespace firmus::melody
