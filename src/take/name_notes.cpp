// Names for the notes of a take without a melody, as degrees of a key.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "assemble.hpp"
#include "firmus/error.hpp"
#include "measure/measure.hpp"

namespace firmus::take {
namespace {

constexpr int lowest_midi = 12, highest_midi = 127;  // C0 to G9: notes that have a name
constexpr double most_centre_in_key_cents = 600;     // a take in another key: its nearest transposition

/// A note of the scale: its name and its pitch in the tuning, in cents above C0.
struct ScaleNote {
  SpelledPitch pitch;
  double cents = 0;
};

bool belongs_to(const Key& key, const SpelledPitch& pitch) {
  const std::string degree = scale_degree(key, pitch);
  const bool minor = key.mode == Mode::minor || key.mode == Mode::aeolian;
  return degree.size() == 1 || (minor && (degree == "raised 6" || degree == "raised 7"));
}

std::vector<ScaleNote> notes_of_scale(const Key& key, const Tuning& tuning) {
  std::vector<ScaleNote> notes;
  for (int midi = lowest_midi; midi <= highest_midi; ++midi) {
    const SpelledPitch pitch = nearest_pitch(hz_from_midi(midi), Hertz(440), key);
    if (belongs_to(key, pitch))
      notes.push_back({pitch, 100.0 * (midi - lowest_midi) + tuning_offset_cents(tuning, pitch)});
  }
  return notes;
}

PitchGrid grid_of(const std::vector<ScaleNote>& scale) {
  PitchGrid grid;
  for (const ScaleNote& note : scale)
    if (note.pitch.octave == 4) grid.push_back(std::fmod(note.cents + 1200, 1200));
  return grid;
}

/// Cents above C0; of a note without a pitch those of the note before it.
std::vector<GridNote> notes_on_grid(const Decoded& decoded, Hertz a4) {
  std::vector<GridNote> notes;
  for (const DecodedNote& note : decoded.notes) {
    double cents = notes.empty() ? 4800 : notes.back().cents;
    if (note.coarse_hz > 0) cents = cents_above_c0(Hertz(note.coarse_hz), a4);
    notes.push_back({(note.onset_s + note.end_s) / 2, cents});
  }
  return notes;
}

/// The two notes of the scale around a pitch, and what it costs to take each.
struct Candidate {
  std::size_t note = 0;
  double cost = 0;
};

std::array<Candidate, 2> candidates_for(const std::vector<ScaleNote>& scale, double cents) {
  constexpr double usual_cents = 30, cost_of_wrong_note = 4.5;  // from 90 cents on it is another note, not a poor one
  const auto above =
      std::partition_point(scale.begin(), scale.end(), [&](const ScaleNote& n) { return n.cents < cents; });
  const auto at = static_cast<std::size_t>(above - scale.begin());
  const auto candidate = [&](std::size_t note) {
    const double off = (cents - scale[note].cents) / usual_cents;
    return Candidate{note, std::min(off * off / 2, cost_of_wrong_note)};
  };
  const std::size_t last = scale.size() - 1;
  return {candidate(at == 0 ? 0 : std::min(at - 1, last)), candidate(std::min(at, last))};
}

/// Steps are the most frequent intervals of melodies; enough to decide between notes that are about as near.
double cost_of_interval(std::size_t from, std::size_t to) {
  const std::size_t steps = from > to ? from - to : to - from;
  if (steps == 1) return 0;
  return steps == 0 ? 0.2 : steps == 2 ? 0.3 : 0.4;
}

/// The cheapest names, by Viterbi over the two candidates of each note.
std::vector<std::size_t> named_notes(const std::vector<ScaleNote>& scale, const std::vector<GridNote>& notes,
                                     const GridFit& fit) {
  std::vector<std::array<Candidate, 2>> candidates;
  std::vector<std::array<std::size_t, 2>> from;
  std::array<double, 2> best{};
  for (const GridNote& note : notes) {
    candidates.push_back(candidates_for(scale, note.cents - fit.at(note.time_s)));
    from.push_back({0, 0});
    std::array<double, 2> next{candidates.back()[0].cost, candidates.back()[1].cost};
    for (std::size_t to = 0; to < 2 && candidates.size() > 1; ++to) {
      std::array<double, 2> reached{};
      for (std::size_t k = 0; k < 2; ++k)
        reached[k] = best[k] + cost_of_interval(candidates[candidates.size() - 2][k].note, candidates.back()[to].note);
      from.back()[to] = reached[1] < reached[0] ? 1 : 0;
      next[to] += reached[from.back()[to]];
    }
    best = next;
  }
  std::vector<std::size_t> names(notes.size());
  std::size_t at = best[1] < best[0] ? 1 : 0;
  for (std::size_t i = notes.size(); i-- > 0;) {
    names[i] = candidates[i][at].note;
    at = from[i][at];
  }
  return names;
}

}  // namespace

Melody melody_in_key(const Decoded& decoded, const Key& key, const Settings& settings) {
  constexpr std::size_t most_notes = 20000, notes_in_line = 16;  // the most a melody may have
  if (decoded.notes.size() > most_notes)
    throw TakeError("too_long", fmt::format("it has more than {} notes", most_notes), "check it in parts");
  const Tuning tuning = parse_tuning(settings.tuning, key).value_or(Tuning{});
  const std::vector<ScaleNote> scale = notes_of_scale(key, tuning);
  const std::vector<GridNote> notes = notes_on_grid(decoded, settings.a4_hz);
  const GridFit fit = fit_pitch_grid(notes, grid_of(scale), most_centre_in_key_cents);
  std::string text =
      fmt::format("key: {}\na4: {}\ntuning: {}\n", key_name(key), settings.a4_hz.value(), settings.tuning);
  std::size_t column = 0;
  for (const std::size_t name : named_notes(scale, notes, fit))
    text += (column++ % notes_in_line == 0 ? "\n" : " ") + pitch_name(scale[name].pitch);
  return read_melody(text + "\n", "the notes of the take");
}

void match_notes_in_turn(Decoded& decoded) {
  int index = 0;
  for (DecodedNote& note : decoded.notes) {
    note.status = NoteStatus::sung;
    note.written = index++;
    note.match_confidence = 1;
  }
  decoded.written.assign(decoded.notes.size(), NoteStatus::sung);
  decoded.attempts = {{decoded.notes.front().onset_s, decoded.notes.back().end_s, 0, index - 1, index, 0, 0, true}};
  decoded.confidence = decoded.matched_share = 1;
}

void mark_as_named(Result& result) {
  constexpr double most_outside = 0.3;  // of a tune in its key fewer notes are chromatic, or wrong
  result.melody->from_take = true;
  int judged = 0, outside = 0;
  for (const NoteResult& note : result.notes) {
    if (!note.verdict || *note.verdict == Verdict::unclear) continue;
    ++judged;
    outside += *note.verdict == Verdict::other_note;
  }
  if (outside > most_outside * judged) result.decision = AlignmentDecision::listen;
}

}  // namespace firmus::take
