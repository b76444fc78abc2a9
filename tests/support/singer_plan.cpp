// Plan + melody -> which notes are sung when, on which syllable, at which pitch.
#include <algorithm>
#include <cctype>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

constexpr double default_quarters_per_minute = 90;
constexpr double breath_s = 0.24;  // taken from the end of a phrase's last note
constexpr double least_sounding_share = 0.5;
constexpr double most_coda_share = 0.35;  // of the time to the next syllable; a shorter note drops its word's end
constexpr double skip_gap_s = 0.5;        // where something is left out

struct Step {
  int index = 0;
  Kind kind = Kind::sung;
  std::optional<double> gap_s;  // none: goes on as written
  std::optional<ExtraNote> extra;
};

bool left_out(const Plan& plan, int index) {
  return std::any_of(plan.left_out.begin(), plan.left_out.end(),
                     [&](const IndexRange& range) { return range.from <= index && index <= range.to; });
}

void add_restarts(std::vector<Step>& steps, const Plan& plan, int index, std::optional<double>& gap_s) {
  for (const Restart& restart : plan.restarts) {
    if (restart.range.from != index) continue;
    for (int j = restart.range.from; j <= restart.range.to; ++j) {
      steps.push_back({j, Kind::restart, gap_s, std::nullopt});
      gap_s.reset();
    }
    gap_s = restart.pause_s;
  }
}

std::vector<Step> order_of(const Melody& melody, const Plan& plan) {
  std::vector<Step> steps;
  std::optional<double> gap_s = 0.0;
  for (const WrittenNote& note : melody.notes) {
    if (note.grace) continue;
    if (left_out(plan, note.index)) {
      if (!steps.empty()) gap_s = skip_gap_s;
      continue;
    }
    add_restarts(steps, plan, note.index, gap_s);
    steps.push_back({note.index, Kind::sung, gap_s, std::nullopt});
    gap_s.reset();
    for (const ExtraNote& extra : plan.extras) {
      if (extra.after_index != note.index) continue;
      steps.push_back({note.index, Kind::extra, 0.0, extra});
      gap_s = 0.0;
    }
  }
  return steps;
}

double seconds_per_quarter(const WrittenNote& note, const Plan& plan) {
  return 60.0 / (note.quarters_per_minute.value_or(default_quarters_per_minute) * plan.tempo_factor);
}

double key_of(const Plan& plan, int index) {
  double semitones = plan.transposition_semitones;
  for (const KeyChange& change : plan.key_changes) {
    if (index >= change.from_index) semitones += change.semitones;
  }
  return semitones;
}

// The planned pitch, in cents from the written target; the drift is added later, when the times are known.
double planned_cents(const Plan& plan, const Step& step, Random& random) {
  double cents = 100 * key_of(plan, step.index) + plan.detune_cents + plan.note_spread_cents * random.normal();
  const auto planted = plan.note_cents.find(step.index);
  if (planted != plan.note_cents.end() && !step.extra) cents += planted->second;
  if (step.extra) cents += 100 * step.extra->semitones;
  return cents;
}

struct Timing {
  double onset_s = 0, length_s = 0;
  bool joined = false;  // no gap before it
};

bool ends_phrase(const Melody& melody, int index) {
  const auto next = static_cast<std::size_t>(index) + 1;
  return next >= melody.notes.size() || melody.notes[next].phrase != melody.notes[next - 1].phrase;
}

std::vector<Timing> nominal_times(const std::vector<Step>& steps, const Melody& melody, const Plan& plan) {
  std::vector<Timing> times;
  double cursor_s = plan.lead_s + plan.talk_s + breath_s;
  const WrittenNote* before = nullptr;
  for (const Step& step : steps) {
    const WrittenNote& note = melody.notes[static_cast<std::size_t>(step.index)];
    double rest_s = step.gap_s.value_or(0.0);
    if (before && !step.gap_s) {
      rest_s = (note.onset_quarters - before->onset_quarters - before->length_quarters).value() *
               seconds_per_quarter(*before, plan);
    }
    const double onset_s = cursor_s + rest_s;
    const double length_s =
        step.extra ? step.extra->length_s : note.length_quarters.value() * seconds_per_quarter(note, plan);
    const bool joined = before && rest_s < 1e-9 && (step.extra || !ends_phrase(melody, before->index));
    times.push_back({onset_s, length_s, joined});
    cursor_s = onset_s + length_s;
    before = &note;
  }
  return times;
}

void spread_onsets(std::vector<Timing>& times, const Plan& plan) {
  Random random(plan.seed, 11);
  for (Timing& time : times) {
    const double most_s = std::min(3 * plan.timing_spread_s, 0.1 * time.length_s);
    time.onset_s += std::clamp(plan.timing_spread_s * random.normal(), -most_s, most_s);
  }
}

void set_end(TimedNote& note, const Timing& time, const TimedNote* next) {
  if (next && !next->after_gap) {
    const double room_s = next->truth.onset_s - consonant_s(next->syllable.consonant) - note.truth.onset_s;
    if (coda_s(note.syllable.coda) > most_coda_share * room_s) note.syllable.coda = Consonant::none;
    note.truth.end_s = note.truth.onset_s + room_s - coda_s(note.syllable.coda);
    note.before_gap = false;
    return;
  }
  note.truth.end_s = note.truth.onset_s + std::max(time.length_s - breath_s, least_sounding_share * time.length_s);
}

void add_drift(std::vector<TimedNote>& notes, const Plan& plan) {
  const double first_s = notes.front().truth.onset_s;
  const double span_s = std::max(1e-3, notes.back().truth.onset_s - first_s);
  for (TimedNote& note : notes) {
    note.truth.sung_hz *= std::exp2(plan.drift_cents * (note.truth.onset_s - first_s) / span_s / 1200);
  }
}

// The vowel goes on from one note to the next, and the word ends with the later one.
void slur(TimedNote& from, TimedNote& to) {
  to.syllable = from.syllable;
  to.syllable.consonant = Consonant::none;
  from.syllable.coda = Consonant::none;
}

double level_after(Consonant coda) {
  return coda == Consonant::none ? 1 : coda == Consonant::voiced ? murmur_amplitude : 0;
}

bool ends_in(std::string_view text, std::string_view end) {
  return text.size() >= end.size() && text.substr(text.size() - end.size()) == end;
}

// From the letters after the syllable's first vowel: its last consonant, a silent e left out.
Consonant coda_of(std::string_view rest) {
  if (ends_in(rest, "e")) rest.remove_suffix(1);
  if (rest.empty() || ends_in(rest, "gh")) return Consonant::none;
  if (ends_in(rest, "ng")) return Consonant::voiced;
  const char last = rest.back();
  if (std::string_view("mnlrv").find(last) != std::string_view::npos) return Consonant::voiced;
  if (std::string_view("ptkbdgcx").find(last) != std::string_view::npos) return Consonant::plosive;
  if (std::string_view("sfhz").find(last) != std::string_view::npos) return Consonant::fricative;
  return Consonant::none;
}

}  // namespace

double consonant_s(Consonant consonant) {
  switch (consonant) {
    case Consonant::none:
      return 0.03;
    case Consonant::plosive:
      return 0.06;
    case Consonant::fricative:
      return 0.09;
    case Consonant::voiced:
      return 0.06;
  }
  return 0;
}

double coda_s(Consonant coda) {
  switch (coda) {
    case Consonant::none:
      return 0;
    case Consonant::plosive:
      return 0.06;
    case Consonant::fricative:
      return 0.08;
    case Consonant::voiced:
      return 0.07;
  }
  return 0;
}

Syllable syllable_of(std::string_view text) {
  std::string low;
  for (const char c : text) {
    if (std::isalpha(static_cast<unsigned char>(c)))
      low += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  }
  Syllable syllable;
  const auto at = low.find_first_of("aeiouy", low.size() > 1 && low[0] == 'y' ? 1 : 0);
  if (at != std::string::npos) {
    const char vowel = low[at];
    syllable.vowel = vowel == 'e'                   ? Vowel::e
                     : vowel == 'i' || vowel == 'y' ? Vowel::i
                     : vowel == 'o'                 ? Vowel::o
                     : vowel == 'u'                 ? Vowel::u
                                                    : Vowel::a;
  }
  if (at != std::string::npos) syllable.coda = coda_of(std::string_view(low).substr(at + 1));
  if (low.empty() || at == 0) return syllable;
  const char first = low[0];
  if (std::string_view("ptkbdgcqx").find(first) != std::string_view::npos) syllable.consonant = Consonant::plosive;
  if (std::string_view("sfhz").find(first) != std::string_view::npos || low.rfind("th", 0) == 0)
    syllable.consonant = Consonant::fricative;
  if (std::string_view("mnlrwyvj").find(first) != std::string_view::npos) syllable.consonant = Consonant::voiced;
  syllable.noise_hz = first == 's' || first == 'z' ? 5500 : first == 'k' || first == 'c' || first == 'h' ? 2500 : 4000;
  return syllable;
}

std::vector<TimedNote> time_notes(const Melody& melody, const Plan& plan) {
  const std::vector<Step> steps = order_of(melody, plan);
  std::vector<Timing> times = nominal_times(steps, melody, plan);
  spread_onsets(times, plan);
  Random random(plan.seed, 12);
  std::vector<TimedNote> notes;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const WrittenNote& written = melody.notes[static_cast<std::size_t>(steps[i].index)];
    TimedNote note;
    note.truth.onset_s = times[i].onset_s;
    note.truth.kind = steps[i].kind;
    if (!steps[i].extra) note.truth.written = steps[i].index;
    note.truth.sung_hz = written.target_hz * std::exp2(planned_cents(plan, steps[i], random) / 1200);
    note.after_gap = !times[i].joined;
    const std::string filler = plan.syllables.empty() ? "a" : plan.syllables[i % plan.syllables.size()];
    note.syllable = syllable_of(written.word.value_or(filler));
    if (!plan.says_word_ends) note.syllable.coda = Consonant::none;
    if (plan.slurs && !written.word && !note.after_gap) slur(notes.back(), note);
    notes.push_back(note);
  }
  for (std::size_t i = 0; i < notes.size(); ++i) {
    set_end(notes[i], times[i], i + 1 < notes.size() ? &notes[i + 1] : nullptr);
  }
  for (std::size_t i = 1; i < notes.size(); ++i)
    if (!notes[i].after_gap) notes[i].level_before = level_after(notes[i - 1].syllable.coda);
  if (!notes.empty()) add_drift(notes, plan);
  return notes;
}

int plant_on_interval(Plan& plan, const Melody& melody, std::string_view interval, Direction direction, double cents) {
  int planted = 0;
  for (const WrittenNote& note : melody.notes) {
    const auto into = interval_into(melody, note.index);
    if (!into || into->direction != direction || interval_name(*into) != interval) continue;
    plan.note_cents[note.index] += cents;
    ++planted;
  }
  return planted;
}

}  // namespace firmus::singer
