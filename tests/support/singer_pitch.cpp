// Timed notes -> the control track: f0, loudness, formants and consonants, a thousand times a second.
#include <algorithm>

#include "singer_parts.hpp"

namespace firmus::singer {
namespace {

constexpr double vibrato_delay_s = 0.25, vibrato_rise_s = 0.2, vibrato_fade_s = 0.06;
constexpr double attack_s = 0.035;           // silence to a full vowel
constexpr double release_s = 0.08;           // a full vowel to silence; end_s lies 5/8 into it
constexpr double murmur_amplitude = 0.3;     // a voiced consonant
constexpr double vowel_dip_amplitude = 0.6;  // between two vowels with no consonant
constexpr double droop_cents = -20;          // at the end of a breath
constexpr double formant_move_s = 0.05;

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
  const double end_s = notes[i].before_gap ? truth.end_s + 0.375 * release_s : truth.end_s;
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

double amplitude_before_onset(const TimedNote& note, double time_s) {
  const double since_s = time_s - (note.truth.onset_s - consonant_s(note.syllable.consonant));
  switch (note.syllable.consonant) {
    case Consonant::voiced: {
      const double from = note.after_gap ? 0 : 1;
      return from + (murmur_amplitude - from) * smooth(since_s / 0.025);
    }
    case Consonant::none:
      return note.after_gap ? 0 : 1 + (vowel_dip_amplitude - 1) * smooth(since_s / 0.03);
    case Consonant::plosive:
    case Consonant::fricative:
      return note.after_gap ? 0 : 1 - smooth(since_s / 0.015);
  }
  return 0;
}

double amplitude_at(const TimedNote& note, double time_s) {
  const SungNote& truth = note.truth;
  if (time_s < truth.onset_s) return amplitude_before_onset(note, time_s);
  const double start = note.syllable.consonant == Consonant::voiced                    ? murmur_amplitude
                       : note.syllable.consonant == Consonant::none && !note.after_gap ? vowel_dip_amplitude
                                                                                       : 0;
  const double share = (time_s - truth.onset_s) / std::max(0.05, truth.end_s - truth.onset_s);
  double amplitude = (start + (1 - start) * smooth((time_s - truth.onset_s) / attack_s)) * (1 - 0.2 * share);
  if (note.before_gap) amplitude *= 1 - smooth((time_s - (truth.end_s - 0.625 * release_s)) / release_s);
  return amplitude;
}

// Where the vowel's onset is, the mouth has just opened: formants move from the consonant's (or the vowel before) to
// the vowel's.
void shape_mouth(ControlFrame& frame, const TimedNote& note, double time_s, const Voice& voice) {
  constexpr std::array<double, formant_count> closed = {280, 1100, 2300, 3300, 4400};
  const auto open = formants_of(note.syllable.vowel, voice.formant_scale);
  const double opened = smooth((time_s - note.truth.onset_s + 0.5 * formant_move_s) / formant_move_s);
  const bool closes = note.syllable.consonant == Consonant::voiced;
  for (std::size_t k = 0; k < formant_count; ++k) {
    const double before = closes ? closed[k] * voice.formant_scale : open[k];
    frame.formant_hz[k] = before + (open[k] - before) * opened;
  }
  frame.muffle_db_per_octave = closes ? 8 * (1 - opened) : 0;
}

void add_bursts(Score& score, const TimedNote& note, const Voice& voice) {
  const double length_s = consonant_s(note.syllable.consonant);
  const double start_s = note.truth.onset_s - length_s;
  const double hz = note.syllable.noise_hz;
  if (note.syllable.consonant == Consonant::plosive)
    score.bursts.push_back({note.truth.onset_s - 0.018, 0.014, hz, hz, 0.12});
  if (note.syllable.consonant == Consonant::fricative)
    score.bursts.push_back({start_s + 0.01, length_s - 0.02, hz, 0.6 * hz, 0.06});
  if (note.after_gap && voice.breath_db > -90) score.bursts.push_back({start_s - 0.23, 0.2, 1600, 1800, 0.012});
}

double vibrato_cents(const SungNote& truth, double time_s, const Voice& voice, double phase, double extent_scale) {
  const double since_s = time_s - truth.onset_s;
  const double fade = 1 - smooth((time_s - (truth.end_s - vibrato_fade_s)) / vibrato_fade_s);
  const double depth = fade * smooth((since_s - vibrato_delay_s) / vibrato_rise_s);
  return depth * extent_scale * voice.vibrato_extent_cents *
         std::sin(phase + 2 * std::numbers::pi * voice.vibrato_rate_hz * since_s);
}

struct Mean {
  double sum = 0;
  int count = 0;
};

}  // namespace

std::array<double, formant_count> formants_of(Vowel vowel, double scale) {
  // F1 to F3 of men's vowels, Peterson & Barney, JASA 24(2), 1952 (memory); F4 and F5 common practice.
  constexpr std::array<std::array<double, 3>, 5> table = {
      {{730, 1090, 2440}, {530, 1840, 2480}, {270, 2290, 3010}, {570, 840, 2410}, {300, 870, 2240}}};
  const auto& low = table[static_cast<std::size_t>(vowel)];
  return {low[0] * scale, low[1] * scale, low[2] * scale, 3400 * scale, 4500 * scale};
}

void write_notes(Score& score, std::vector<TimedNote>& notes, const Plan& plan) {
  const std::vector<double> slow = slow_wander(score.frames.size(), plan.seed);
  Random random(plan.seed, 13);
  Random fast(plan.seed, 14);
  for (std::size_t i = 0; i < notes.size(); ++i) add_bursts(score, notes[i], plan.voice);
  std::vector<SungNote> truths;
  double jitter = 0;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    SungNote truth = notes[i].truth;
    const double scoop_scale = random.uniform(0.5, 1.5), extent_scale = random.uniform(0.7, 1.3);
    const double phase = random.uniform(0, 2 * std::numbers::pi);
    Mean middle;
    const Span span = span_of(notes, i, score.frames.size());
    for (std::size_t f = span.from; f < span.to; ++f) {
      const double time_s = time_of(f);
      jitter += 0.2 * (-jitter + 3 * fast.normal());  // unit variance, 5 ms
      const double steady = steady_cents(notes, i, time_s, plan.voice, scoop_scale) + plan.voice.wander_cents * slow[f];
      const double share = (time_s - truth.onset_s) / (truth.end_s - truth.onset_s);
      if (share >= 0.25 && share <= 0.85) middle = {middle.sum + steady, middle.count + 1};
      ControlFrame& frame = score.frames[f];
      frame.f0_hz = std::exp2(
          (steady + plan.voice.jitter_cents * jitter + vibrato_cents(truth, time_s, plan.voice, phase, extent_scale)) /
          1200);
      frame.amplitude = amplitude_at(notes[i], time_s);
      shape_mouth(frame, notes[i], time_s, plan.voice);
    }
    if (middle.count > 0) truth.sung_hz = std::exp2(middle.sum / middle.count / 1200);
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
