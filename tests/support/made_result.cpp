#include "made_result.hpp"

#include <array>
#include <cmath>

#include "base/frames.hpp"
#include "firmus/theory.hpp"

namespace firmus::made {
namespace {

constexpr double first_onset_s = 0.5;

double written_midi(const char* name) {
  return midi_key(std::get<SpelledPitch>(parse_pitch(name)));
}

Verdict verdict_of(double cents) {
  if (std::fabs(cents) > 100) return Verdict::other_note;
  if (std::fabs(cents) <= 25) return Verdict::in_tune;
  return cents > 0 ? Verdict::sharp : Verdict::flat;
}

NoteResult written_note(const MadeNote& made, int index) {
  NoteResult note;
  note.index = index;
  note.pass = 1;
  note.bar = 1 + index / 4;
  note.beat = 1 + index % 4;
  note.phrase = 1 + index / 8;
  note.written = made.written;
  note.written_beats = 1;
  note.status = made.status;
  if (made.word[0] != '\0') note.word = made.word;
  return note;
}

void sing(Result& result, NoteResult& note, const MadeNote& made, double onset_s, double semitones,
          double centre_cents) {
  note.onset_s = onset_s;
  note.end_s = onset_s + made.length_s;
  const double midi = written_midi(made.written) + semitones + (centre_cents + made.own_cents) / 100;
  note.sung_hz = hz_from_midi(midi);
  note.sung = pitch_name(nearest_pitch(Hertz(*note.sung_hz), Hertz(440)));
  note.errors.own_cents = made.own_cents;
  note.errors.concert_cents = made.own_cents + centre_cents + 100 * std::remainder(semitones, 12);
  note.verdict = verdict_of(made.own_cents);
  note.se_cents = 2;
  const auto last = static_cast<std::size_t>(std::floor(*note.end_s / frame_hop_s));
  result.f0_track_hz.resize(last + 1, 0.0F);
  for (auto i = static_cast<std::size_t>(std::ceil(onset_s / frame_hop_s)); i <= last; ++i)
    result.f0_track_hz[i] = static_cast<float>(*note.sung_hz);
}

void count(Summary& summary, const NoteResult& note) {
  ++summary.written;
  if (note.status == NoteStatus::missing) ++summary.missing;
  if (!note.verdict) return;
  ++summary.judged;
  if (note.verdict == Verdict::in_tune) ++summary.in_tune;
  if (note.verdict == Verdict::sharp) ++summary.sharp;
  if (note.verdict == Verdict::flat) ++summary.flat;
  if (note.verdict == Verdict::other_note) ++summary.other_note;
}

}  // namespace

Result take_of(const std::vector<MadeNote>& notes, int transposition_semitones, double centre_cents) {
  Result result;
  result.take.name = "made.wav";
  result.melody =
      MelodyFacts{"A Made Song", std::string(64, 'a'), "", "C major", "4/4", "120", static_cast<int>(notes.size())};
  result.transposition_semitones = transposition_semitones;
  result.alignment_confidence = result.matched_share = 1;
  result.signal_quality.level_dbfs = -20;
  double now_s = first_onset_s;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    NoteResult note = written_note(notes[i], static_cast<int>(i));
    if (notes[i].status == NoteStatus::sung) {
      sing(result, note, notes[i], now_s, transposition_semitones, centre_cents);
      now_s += notes[i].length_s + notes[i].silence_s;
    }
    count(result.summary, note);
    result.notes.push_back(note);
  }
  Summary& summary = result.summary;
  if (summary.written > 0) summary.judged_share = static_cast<double>(summary.judged) / summary.written;
  if (summary.judged > 0) summary.in_tune_share = static_cast<double>(summary.in_tune) / summary.judged;
  result.take.duration_s = now_s + 0.5;
  return result;
}

Result song_of(int count) {
  constexpr std::array names{"C4", "E4", "G4", "Bb4", "C5", "E5", "D5", "B4", "F#4", "D4"};
  constexpr std::array words{"o",   "light", "the",    "lan-",    "terns", "through", "a",
                             "far", "and",   "wintry", "morning", "we",    "sing",    "al-"};
  constexpr std::array lengths{0.4, 0.25, 0.6, 0.35, 0.5, 0.9, 0.3};
  std::vector<MadeNote> notes;
  for (int i = 0; i < count; ++i) {
    const auto at = static_cast<std::size_t>(i);
    const double cents = i % 7 == 3 ? 30.0 + i % 10 : i % 7 == 5 ? -30.0 - i % 10 : (i * 5) % 21 - 10;
    notes.push_back({names[at % names.size()], cents, lengths[at % lengths.size()], words[at % words.size()],
                     NoteStatus::sung, i % 8 == 7 ? 0.4 : 0});
  }
  return take_of(notes);
}

}  // namespace firmus::made
