#include <algorithm>
#include <cmath>
#include <map>

#include "assemble.hpp"
#include "measure/measure.hpp"
#include "note_rows.hpp"

namespace firmus {
namespace {

/// The key that a sung note is spelled in: the written note's where it has one, else the melody's.
std::optional<Key> key_at(const Melody& melody, const std::optional<int>& index) {
  return index ? melody.notes[static_cast<std::size_t>(*index)].key : melody.key;
}

struct Sounding {
  const DecodedNote* decoded;
  NoteResult row;
};

std::vector<Sounding> measure_sounding(const Recording& take, const Melody& melody, const Decoded& decoded,
                                       std::span<const float> refined_hz) {
  const MeasuredTake heard(take.samples, refined_hz, decoded.notes);
  std::vector<Sounding> all;
  for (const auto& note : decoded.notes) {
    Sounding sounding{&note, note.written ? written_row(melody, *note.written) : NoteResult{}};
    sounding.row.status = note.status;
    fill_sound(sounding.row, heard, note, melody.a4_hz, key_at(melody, note.written));
    if (note.status != NoteStatus::sung) sounding.row.index.reset();
    all.push_back(std::move(sounding));
  }
  return all;
}

/// Errors of the notes that are judged: sung, in the try that counts, with a pitch that can be told.
TuningCurve judge(std::vector<Sounding>& all, const Melody& melody) {
  std::vector<JudgedNote> judged;
  std::vector<NoteResult*> rows;
  for (auto& [decoded, row] : all) {
    if (row.status != NoteStatus::sung || !row.sung_hz || row.unclear_reason ||
        melody.notes[static_cast<std::size_t>(*row.index)].grace)
      continue;
    judged.push_back({*row.index, (*row.onset_s + *row.end_s) / 2, *row.sung_hz,
                      melody.notes[static_cast<std::size_t>(*row.index)].target_hz, row.se_cents.value_or(0),
                      decoded->transposition_semitones});
    rows.push_back(&row);
  }
  TuningCurve line = fit_tuning_curve(judged);
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i]->errors = line.errors[i];
  return line;
}

void give_verdicts(std::vector<Sounding>& all, const Melody& melody, const Settings& settings) {
  for (auto& [decoded, row] : all) {
    if (row.status != NoteStatus::sung || melody.notes[static_cast<std::size_t>(*row.index)].grace) continue;
    if (row.unclear_reason || !row.sung_hz || !row.errors.own_cents) {
      row.verdict = Verdict::unclear;
      continue;
    }
    // The first judged note has no interval into it: it is in tune by that reference.
    const double error = error_against(row.errors, settings.reference).value_or(0);
    row.verdict = verdict_of(error, *row.errors.own_cents, row.se_cents.value_or(0), settings.tolerance_cents);
  }
}

/// Written notes in order, with what was sung of them; extras and restarts go where they sounded.
std::vector<NoteResult> in_order(const std::vector<Sounding>& all, const Melody& melody, const Decoded& decoded) {
  std::map<int, const NoteResult*> sung;
  for (const auto& sounding : all)
    if (sounding.row.index) sung[*sounding.row.index] = &sounding.row;
  std::vector<const NoteResult*> others;
  for (const auto& sounding : all)
    if (!sounding.row.index) others.push_back(&sounding.row);
  std::vector<NoteResult> rows;
  auto other = others.begin();
  for (int index = 0; index < static_cast<int>(melody.notes.size()); ++index) {
    const auto found = sung.find(index);
    if (found == sung.end()) {
      rows.push_back(written_row(melody, index));
      rows.back().status = decoded.written[static_cast<std::size_t>(index)];
      continue;
    }
    while (other != others.end() && (*other)->onset_s < found->second->onset_s) rows.push_back(**other++);
    rows.push_back(*found->second);
  }
  while (other != others.end()) rows.push_back(**other++);
  return rows;
}

MelodyFacts facts_of(const Melody& melody) {
  MelodyFacts facts;
  facts.title = melody.title;
  facts.sha256 = melody.sha256;
  facts.text = melody.text;
  if (melody.key) facts.key = key_name(*melody.key);
  if (melody.meter) facts.meter = std::to_string(melody.meter->count) + "/" + std::to_string(melody.meter->unit);
  if (!melody.tempo_text.empty()) facts.tempo = melody.tempo_text;
  facts.written_notes = static_cast<int>(melody.notes.size());
  return facts;
}

void fill_alignment(Result& result, const Decoded& decoded, const Melody& melody) {
  result.decision = decoded.decision;
  // Every other step of a drill is the one that is missed: its steps cannot tell that it is another melody.
  if (melody.drill && decoded.decision == AlignmentDecision::not_this_melody)
    result.decision = AlignmentDecision::listen;
  result.alignment_confidence = decoded.confidence;
  result.matched_share = decoded.matched_share;
  result.attempts = decoded.attempts;
  const int unit = melody.meter ? melody.meter->unit : 4;
  if (decoded.quarters_per_minute) result.tempo_bpm = *decoded.quarters_per_minute * unit / 4;
}

}  // namespace

void fill_from_melody(Result& result, const Recording& take, const Melody& melody, const Decoded& decoded,
                      std::span<const float> refined_hz) {
  result.melody = facts_of(melody);
  fill_alignment(result, decoded, melody);
  std::vector<Sounding> all = measure_sounding(take, melody, decoded, refined_hz);
  const TuningCurve line = judge(all, melody);
  if (auto warning = detect_sample_rate_mismatch(line)) result.signal_quality.warnings.push_back(std::move(*warning));
  result.key_segments = line.key_segments;
  if (!line.key_segments.empty()) {
    result.transposition_semitones = line.transposition_semitones;
    result.centre_cents = line.centre_cents;
    result.centre_a4_hz = melody.a4_hz * std::exp2(line.centre_cents / 1200);
  }
  give_verdicts(all, melody, result.settings);
  result.notes = in_order(all, melody, decoded);
}

}  // namespace firmus
