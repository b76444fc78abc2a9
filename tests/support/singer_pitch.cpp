// Timed notes -> the control track: f0, loudness, formants and consonants, a thousand times a second.
#include <algorithm>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

constexpr double vibrato_rise_s = 0.2, vibrato_fade_s = 0.06;
constexpr double trill_glide_s = 0.03;  // from one of its two pitches to the other
constexpr double release_s = 0.08;      // a full vowel to silence; end_s lies 5/8 into it
constexpr double closing_s = 0.03;      // a vowel to the consonant that ends the word
constexpr double droop_cents = -20;     // at the end of a breath
constexpr double formant_move_s = 0.05;

constexpr std::array<double, formant_count> closed_hz = {280, 1100, 2300, 3300, 4400};  // of a hum (common practice)

std::size_t frame_at(double time_s) {
  return static_cast<std::size_t>(std::max(0.0, time_s) * control_rate_hz + 0.5);
}
double time_of(std::size_t frame) {
  return static_cast<double>(frame) / control_rate_hz;
}
double smooth(double x) {
  const double c = std::clamp(x, 0.0, 1.0);
  return 0.5 - 0.5 * std::cos(std::numbers::pi * c);
}
double cents_of(double hz) {
  return 1200 * std::log2(hz);
}

struct Span {
  std::size_t from = 0, to = 0;
};

// Everything between the note before and this one belongs to this one's consonant.
Span span_of(const std::vector<TimedNote>& notes, std::size_t i, std::size_t frames) {
  const SungNote& truth = notes[i].truth;
  const double begin_s = truth.onset_s - consonant_s(notes[i].syllable.consonant);
  const double end_s = truth.end_s + coda_s(notes[i].syllable.coda) + (notes[i].before_gap ? 0.375 * release_s : 0);
  return {std::min(frame_at(begin_s), frames), std::min(frame_at(end_s), frames)};
}

double steady_cents(const std::vector<TimedNote>& notes, std::size_t i, double time_s, const Voice& voice,
                    double scoop_scale) {
  const TimedNote& note = notes[i];
  const double own = cents_of(note.truth.sung_hz);
  double cents = own;
  const double glide_from_s = note.truth.onset_s - 0.6 * voice.glide_s;
  if (!note.after_gap && i > 0) {
    const double before = cents_of(notes[i - 1].truth.sung_hz);
    cents = before + (own - before) * smooth((time_s - glide_from_s) / voice.glide_s);
  } else {
    cents += scoop_scale * voice.scoop_cents * (1 - smooth((time_s - note.truth.onset_s) / voice.scoop_s));
  }
  if (i + 1 < notes.size() && !notes[i + 1].after_gap) {
    const double next = cents_of(notes[i + 1].truth.sung_hz);
    cents += (next - own) * smooth((time_s - (notes[i + 1].truth.onset_s - 0.6 * voice.glide_s)) / voice.glide_s);
  }
  if (note.before_gap) cents += droop_cents * smooth((time_s - (note.truth.end_s - 0.1)) / 0.13);
  return cents;
}

double amplitude_before_onset(const TimedNote& note, double time_s, const Voice& voice) {
  const double since_s = time_s - (note.truth.onset_s - consonant_s(note.syllable.consonant));
  const double from = note.level_before;
  switch (note.syllable.consonant) {
    case Consonant::voiced:
      return from + (murmur_amplitude - from) * smooth(since_s / 0.025);
    case Consonant::none:
      return from + (std::min(from, voice.legato_dip) - from) * smooth(since_s / 0.03);
    case Consonant::plosive:
    case Consonant::fricative:
      return from - from * smooth(since_s / 0.015);
  }
  return 0;
}

// Transition from the vowel to the consonant that ends the word.
double close_word(const TimedNote& note, double time_s, double amplitude) {
  if (note.syllable.coda == Consonant::none) return amplitude;
  const double left = note.syllable.coda == Consonant::voiced ? murmur_amplitude : 0;
  const double closed = smooth((time_s - (note.truth.end_s - closing_s)) / closing_s);
  return amplitude * (1 - closed) + left * closed;
}

double amplitude_at(const TimedNote& note, double time_s, const Voice& voice) {
  const SungNote& truth = note.truth;
  if (time_s < truth.onset_s) return amplitude_before_onset(note, time_s, voice);
  const double start = note.syllable.consonant == Consonant::voiced ? murmur_amplitude
                       : note.syllable.consonant == Consonant::none && !note.after_gap
                           ? std::min(note.level_before, voice.legato_dip)
                           : 0;
  const double share = (time_s - truth.onset_s) / std::max(0.05, truth.end_s - truth.onset_s);
  double amplitude = (start + (1 - start) * smooth((time_s - truth.onset_s) / vowel_rise_s)) * (1 - 0.2 * share);
  amplitude = close_word(note, time_s, amplitude);
  const double silent_s = truth.end_s + coda_s(note.syllable.coda) + 0.375 * release_s;
  if (note.before_gap) amplitude *= 1 - smooth((time_s - silent_s + release_s) / release_s);
  return amplitude;
}

// Where the vowel's onset is, the mouth has just opened: formants move from the consonant's (or the vowel before) to
// the vowel's.
void shape_mouth(ControlFrame& frame, const TimedNote& note, double time_s, const Voice& voice) {
  const auto open = formants_of(note.syllable.vowel, voice.formant_scale);
  const double opened = smooth((time_s - note.truth.onset_s + 0.5 * formant_move_s) / formant_move_s);
  const bool closes = note.syllable.consonant == Consonant::voiced;
  for (std::size_t k = 0; k < formant_count; ++k) {
    const double before = closes ? closed_hz[k] * voice.formant_scale : open[k];
    frame.formant_hz[k] = before + (open[k] - before) * opened;
  }
  frame.muffle_db_per_octave = closes ? 8 * (1 - opened) : 0;
  if (note.syllable.coda != Consonant::voiced) return;
  const double closed = smooth((time_s - note.truth.end_s + 0.5 * formant_move_s) / formant_move_s);
  for (std::size_t k = 0; k < formant_count; ++k)
    frame.formant_hz[k] += (closed_hz[k] * voice.formant_scale - frame.formant_hz[k]) * closed;
  frame.muffle_db_per_octave = std::max(frame.muffle_db_per_octave, 8 * closed);
}

void add_bursts(Score& score, const TimedNote& note, const Voice& voice) {
  const double length_s = consonant_s(note.syllable.consonant);
  const double start_s = note.truth.onset_s - length_s;
  const double hz = note.syllable.noise_hz;
  if (note.syllable.consonant == Consonant::plosive)
    score.bursts.push_back({note.truth.onset_s - 0.018, 0.014, hz, hz, 0.12});
  if (note.syllable.consonant == Consonant::fricative)
    score.bursts.push_back({start_s + 0.01, length_s - 0.02, hz, 0.6 * hz, 0.06});
  const double coda_from_s = note.truth.end_s, coda_length_s = coda_s(note.syllable.coda);
  if (note.syllable.coda == Consonant::plosive)
    score.bursts.push_back({coda_from_s + coda_length_s - 0.02, 0.014, hz, hz, 0.06});
  if (note.syllable.coda == Consonant::fricative)
    score.bursts.push_back({coda_from_s + 0.005, coda_length_s - 0.01, 5500, 3300, 0.05});
  if (note.after_gap && voice.breath_db > -90) score.bursts.push_back({start_s - 0.23, 0.2, 1600, 1800, 0.012});
}

double vibrato_cents(const SungNote& truth, double time_s, const Voice& voice, double phase, double extent_scale) {
  const double since_s = time_s - truth.onset_s;
  const double fade = 1 - smooth((time_s - (truth.end_s - vibrato_fade_s)) / vibrato_fade_s);
  const double depth = fade * smooth((since_s - voice.vibrato_delay_s) / vibrato_rise_s);
  return depth * extent_scale * voice.vibrato_extent_cents *
         std::sin(phase + 2 * std::numbers::pi * voice.vibrato_rate_hz * since_s);
}

// Above the written note: 0 and trill_cents in turn, the written note first.
double trill_cents(const SungNote& truth, double time_s, const Voice& voice) {
  const double since_s = time_s - truth.onset_s;
  if (voice.trill_cents == 0 || truth.end_s - truth.onset_s < voice.trill_from_s || since_s < 0) return 0;
  const double period_s = 1 / voice.trill_rate_hz, within_s = std::fmod(since_s, period_s);
  return voice.trill_cents * (smooth((within_s - 0.5 * period_s) / trill_glide_s) -
                              smooth((within_s - period_s + trill_glide_s) / trill_glide_s));
}

struct Mean {
  double sum = 0;
  int count = 0;
};

double median_of(std::vector<double>& values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  if (values.size() % 2 == 1) return *middle;
  return (*middle + *std::max_element(values.begin(), middle)) / 2;
}

}  // namespace

std::array<double, formant_count> formants_of(Vowel vowel, double scale) {
  // F1 to F3 of men's vowels, Peterson & Barney, JASA 24(2), 1952; F4 and F5 common practice.
  constexpr std::array<std::array<double, 3>, 5> table = {
      {{730, 1090, 2440}, {530, 1840, 2480}, {270, 2290, 3010}, {570, 840, 2410}, {300, 870, 2240}}};
  const auto& low = table[static_cast<std::size_t>(vowel)];
  return {low[0] * scale, low[1] * scale, low[2] * scale, 3400 * scale, 4500 * scale};
}

void write_notes(Score& score, std::vector<TimedNote>& notes, const Plan& plan) {
  const std::vector<double> slow = slow_wander(score.frames.size(), plan.seed);
  Random random(plan.seed, 13);
  Random fast(plan.seed, 14);
  Random loudness(plan.seed, 16);
  for (std::size_t i = 0; i < notes.size(); ++i) add_bursts(score, notes[i], plan.voice);
  std::vector<SungNote> truths;
  double jitter = 0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    SungNote truth = notes[i].truth;
    const double scoop_scale = random.uniform(0.5, 1.5), extent_scale = random.uniform(0.7, 1.3);
    const double phase = random.uniform(0, 2 * std::numbers::pi);
    const double gain = std::pow(10, plan.voice.level_spread_db * std::clamp(loudness.normal(), -2.0, 2.0) / 20);
    Mean middle;
    std::vector<double> still;
    const Span span = span_of(notes, i, score.frames.size());
    for (std::size_t f = span.from; f < span.to; ++f) {
      const double time_s = time_of(f);
      jitter += 0.2 * (-jitter + 3 * fast.normal());  // unit variance, 5 ms
      const double steady = steady_cents(notes, i, time_s, plan.voice, scoop_scale) + plan.voice.wander_cents * slow[f];
      const double share = (time_s - truth.onset_s) / (truth.end_s - truth.onset_s);
      if (share >= 0.25 && share <= 0.85) middle = {middle.sum + steady, middle.count + 1};
      if (share >= 0.2 && share <= 0.8) still.push_back(steady + plan.voice.jitter_cents * jitter);
      ControlFrame& frame = score.frames[f];
      frame.f0_hz = std::exp2((steady + plan.voice.jitter_cents * jitter + trill_cents(truth, time_s, plan.voice) +
                               vibrato_cents(truth, time_s, plan.voice, phase, extent_scale)) /
                              1200);
      frame.amplitude = gain * amplitude_at(notes[i], time_s, plan.voice);
      shape_mouth(frame, notes[i], time_s, plan.voice);
    }
    if (middle.count > 0) truth.sung_hz = std::exp2(middle.sum / middle.count / 1200);
    truth.centre_hz = still.empty() ? truth.sung_hz : std::exp2(median_of(still) / 1200);
    truths.push_back(truth);
  }
  for (std::size_t i = 0; i < notes.size(); ++i) notes[i].truth = truths[i];
}

std::vector<double> slow_wander(std::size_t frames, std::uint64_t seed) {
  constexpr std::array<double, 5> time_constants_s = {0.08, 0.2, 0.5, 1.2, 3.0};
  Random random(seed, 15);
  std::vector<double> wander(frames, 0.0);
  for (const double tau_s : time_constants_s) {
    const double keep = std::exp(-1.0 / (tau_s * control_rate_hz));
    double state = random.normal();
    for (double& value : wander) {
      state = keep * state + std::sqrt(1 - keep * keep) * random.normal();
      value += state / std::sqrt(static_cast<double>(time_constants_s.size()));
    }
  }
  return wander;
}

}  // namespace firmus::singer
