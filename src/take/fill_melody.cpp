#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "assemble.hpp"
#include "measure/measure.hpp"
#include "note_rows.hpp"

namespace firmus::take {
namespace {

/// The key that a sung note is spelled in: the written note's where it has one, else the melody's.
std::optional<Key> key_at(const Melody& melody, const std::optional<int>& index) {
  return index ? melody.notes[static_cast<std::size_t>(*index)].key : melody.key;
}

/// A last note of which only the first part is in the recording. Its pitch is that of another part than the whole's.
bool is_cut_off(double end_s, const Recording& take, const Decoded& decoded) {
  constexpr double end_found_before_s = 0.5;  // the cut, by the decoder, in all of 204 annotated takes cut off
  return decoded.lacks_end && end_s > take.samples.duration_s() - end_found_before_s;
}

std::vector<NoteResult> measure_sung_notes(const Recording& take, const Melody& melody, const Decoded& decoded,
                                           std::span<const NotePitch> pitches) {
  std::vector<NoteResult> all;
  for (std::size_t i = 0; i < pitches.size(); ++i) {
    const DecodedNote& note = decoded.notes[i];
    NoteResult row = note.written ? row_of(melody, *note.written) : NoteResult{};
    row.status = note.status;
    fill_row(row, pitches[i], note, melody.a4_hz, key_at(melody, note.written));
    if (note.octave_unsure) row.unclear_reason = UnclearReason::two_voices;
    if (note.joined) row.unclear_reason = UnclearReason::joined;
    if (note.status != NoteStatus::sung) row.index.reset();
    all.push_back(std::move(row));
  }
  if (!all.empty() && is_cut_off(*all.back().end_s, take, decoded) && !all.back().unclear_reason)
    all.back().unclear_reason = UnclearReason::cut_off;
  return all;
}

void round_as_written(std::optional<double>& cents) {
  const double steps = std::pow(10.0, written_cents_decimals);
  if (cents) cents = std::round(*cents * steps) / steps + 0.0;
}

/// Tuning curve and errors of the judged notes: those sung, in the attempt that counts, with a clear pitch.
TuningCurve fill_errors_of_judged(std::vector<NoteResult>& all, const Melody& melody) {
  std::vector<JudgedNote> judged;
  std::vector<NoteResult*> rows;
  for (auto& row : all) {
    if (row.status != NoteStatus::sung || !row.sung_hz || row.unclear_reason ||
        melody.notes[static_cast<std::size_t>(*row.index)].grace)
      continue;
    const WrittenNote& written = melody.notes[static_cast<std::size_t>(*row.index)];
    judged.push_back({*row.index, (*row.onset_s + *row.end_s) / 2, *row.sung_hz, written.target_hz, written.phrase});
    rows.push_back(&row);
  }
  TuningCurve curve = fit_tuning_curve(judged);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    NoteErrors& errors = rows[i]->errors = curve.errors[i];
    for (auto* cents : {&errors.concert_cents, &errors.own_cents, &errors.interval_cents, &rows[i]->se_cents})
      round_as_written(*cents);
  }
  return curve;
}

bool is_to_be_judged(const NoteResult& row, const Melody& melody) {
  return row.status == NoteStatus::sung && !melody.notes[static_cast<std::size_t>(*row.index)].grace;
}

void name_other_notes(std::vector<NoteResult>& all, const Melody& melody) {
  std::vector<NoteToName> notes;
  std::vector<NoteResult*> rows;
  for (auto& row : all) {
    if (!is_to_be_judged(row, melody) || !row.errors.own_cents) continue;
    const WrittenNote& written = melody.notes[static_cast<std::size_t>(*row.index)];
    notes.push_back({written.pitch, written.key, *row.errors.own_cents});
    rows.push_back(&row);
  }
  const std::vector<bool> other = sung_as_other_notes(notes, melody.tuning);
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (other[i]) rows[i]->verdict = Verdict::other_note;
}

/// A note is first named, then measured.
void give_verdicts(std::vector<NoteResult>& all, const Melody& melody, const Settings& settings) {
  name_other_notes(all, melody);
  for (auto& row : all) {
    if (!is_to_be_judged(row, melody) || row.verdict) continue;
    if (row.unclear_reason || !row.sung_hz || !row.errors.own_cents) {
      row.verdict = Verdict::unclear;
      continue;
    }
    // The first judged note has no interval before it: by that reference it is in tune.
    const double error = error_against(row.errors, settings.reference).value_or(0);
    row.verdict = verdict_of(error, row.se_cents.value_or(0), settings.tolerance_cents);
  }
}

/// Warns where three notes and more than 7 % of the judged ones are off by whole octaves: hardly any singer is (none of
/// 51 annotated takes), but an instrument that plays along an octave away sounds so.
std::optional<RecordingWarning> octaves_in_doubt(const std::vector<NoteResult>& all) {
  constexpr double most_share = 0.07, within_cents = 100;
  constexpr int fewest = 3;
  int judged = 0, octaves_off = 0;
  for (const auto& row : all) {
    if (!row.errors.own_cents) continue;
    ++judged;
    octaves_off += whole_octaves(Cents(*row.errors.own_cents), Cents(within_cents)) != 0;
  }
  if (octaves_off < fewest || octaves_off <= most_share * judged) return std::nullopt;
  return RecordingWarning{RecordingFault::second_voice,
                          fmt::format("{} of {} notes sound an octave away from the others", octaves_off, judged),
                          "if another voice or an instrument sounds along an octave away, record one voice alone, with "
                          "the accompaniment in headphones"};
}

/// Rows of all written notes in order, with what was sung; extras and restarts stand where they sounded.
std::vector<NoteResult> in_order(const std::vector<NoteResult>& all, const Melody& melody, const Decoded& decoded) {
  std::map<int, const NoteResult*> sung;
  for (const auto& row : all)
    if (row.index) sung[*row.index] = &row;
  std::vector<const NoteResult*> others;
  for (const auto& row : all)
    if (!row.index) others.push_back(&row);
  std::vector<NoteResult> rows;
  auto other = others.begin();
  for (int index = 0; index < static_cast<int>(melody.notes.size()); ++index) {
    const auto found = sung.find(index);
    if (found == sung.end()) {
      rows.push_back(row_of(melody, index));
      rows.back().status = decoded.written[static_cast<std::size_t>(index)];
      continue;
    }
    while (other != others.end() && (*other)->onset_s < found->second->onset_s) rows.push_back(**other++);
    rows.push_back(*found->second);
  }
  while (other != others.end()) rows.push_back(**other++);
  return rows;
}

MelodyFacts melody_facts_of(const Melody& melody) {
  MelodyFacts facts;
  facts.title = melody.title;
  facts.sha256 = melody.sha256;
  facts.text = melody.text;
  facts.bars = melody.bars;
  if (melody.key) facts.key = key_name(*melody.key);
  if (melody.meter) facts.meter = std::to_string(melody.meter->count) + "/" + std::to_string(melody.meter->unit);
  if (!melody.tempo_text.empty()) facts.tempo = melody.tempo_text;
  facts.written_notes = static_cast<int>(melody.notes.size());
  return facts;
}

void fill_alignment(Result& result, const Decoded& decoded, const Melody& melody) {
  result.decision = decoded.decision;
  // Every other interval of a drill is the one its singer misses, so its intervals are no evidence of another melody.
  if (melody.drill && decoded.decision == AlignmentDecision::not_this_melody)
    result.decision = AlignmentDecision::listen;
  result.alignment_confidence = decoded.confidence;
  result.matched_share = decoded.matched_share;
  result.attempts = decoded.attempts;
  const int unit = melody.meter ? melody.meter->unit : 4;
  if (decoded.quarters_per_minute) result.tempo_bpm = *decoded.quarters_per_minute * unit / 4;
}

}  // namespace

void measure_against_melody(Result& result, const Recording& take, const Melody& melody, const Decoded& decoded,
                            std::span<const NotePitch> pitches) {
  result.melody = melody_facts_of(melody);
  fill_alignment(result, decoded, melody);
  std::vector<NoteResult> all = measure_sung_notes(take, melody, decoded, pitches);
  const TuningCurve curve = fill_errors_of_judged(all, melody);
  if (auto warning = detect_sample_rate_mismatch(curve)) result.signal_quality.warnings.push_back(std::move(*warning));
  if (decoded.decision != AlignmentDecision::not_this_melody)
    if (auto warning = octaves_in_doubt(all)) result.signal_quality.warnings.push_back(std::move(*warning));
  result.key_segments = curve.key_segments;
  if (!curve.key_segments.empty()) {
    result.transposition_semitones = curve.transposition_semitones;
    result.centre_cents = curve.centre_cents;
    result.centre_a4_hz = transposed(Hertz(melody.a4_hz), Cents(curve.centre_cents));
  }
  give_verdicts(all, melody, result.settings);
  result.notes = in_order(all, melody, decoded);
}

}  // namespace firmus::take
