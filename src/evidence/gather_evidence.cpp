#include <algorithm>
#include <cmath>
#include <numbers>

#include "firmus/evidence.hpp"
#include "frame_measures.hpp"
#include "harmonic_levels.hpp"
#include "mel_bands.hpp"
#include "onset_net.hpp"
#include "pitch_candidates.hpp"
#include "pitch_line.hpp"
#include "rumble_filter.hpp"

namespace firmus {
namespace {

constexpr int hop_samples = 80;  // 5 ms at 16 kHz
static_assert(hop_samples == static_cast<int>(Evidence::hop_s * Samples::rate_hz + 0.5));

float level_db_of(std::span<const float> frame) {
  float energy = 0;
#pragma omp simd reduction(+ : energy)
  for (std::size_t i = 0; i < frame.size(); ++i) energy += frame[i] * frame[i];
  return 10.0F * std::log10(energy / static_cast<float>(frame.size()) + 1e-10F);
}

std::span<const float> centred(std::span<const float> wide, int count) {
  return wide.subspan((wide.size() - static_cast<std::size_t>(count)) / 2, static_cast<std::size_t>(count));
}

/// First pass: what needs no pitch. Bands go to `measures`, not yet against the take's loud part.
void measure_frames(const Samples& samples, const PitchRange& range, Evidence& evidence,
                    std::vector<FrameMeasures>& measures) {
  PitchCandidates candidates(range);
  MelBands bands;
  FilteredFrames frames(samples, range.lowest_hz, std::max(candidates.frame_samples(), MelBands::frame_samples),
                        hop_samples);
  evidence.first_candidate.push_back(0);
  while (const auto frame = frames.next()) {
    candidates.find(centred(*frame, candidates.frame_samples()), evidence.candidates);
    evidence.first_candidate.push_back(static_cast<std::uint32_t>(evidence.candidates.size()));
    const auto narrow = centred(*frame, MelBands::frame_samples);
    evidence.level_db.push_back(level_db_of(narrow));
    auto& here = measures.emplace_back();
    std::ranges::copy(bands.levels_db(narrow), here.begin());
  }
}

double percentile(std::vector<float> values, double share) {
  if (values.empty()) return 0;
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

/// Second pass: harmonics along the pitch line; in a gap at the pitch that follows, so that its appearing is seen.
void measure_harmonics(const Samples& samples, const Evidence& evidence, std::vector<FrameMeasures>& measures) {
  HarmonicLevels harmonics;
  FilteredFrames frames(samples, evidence.lowest_hz, HarmonicLevels::frame_samples, hop_samples);
  std::vector<float> f0_hz(evidence.line_hz);
  float ahead = 0;
  for (std::size_t i = f0_hz.size(); i-- > 0;) f0_hz[i] = ahead = f0_hz[i] > 0 ? f0_hz[i] : ahead;
  float behind = 0;
  for (std::size_t i = 0; const auto frame = frames.next(); ++i) {
    if (f0_hz[i] > 0) behind = f0_hz[i];
    std::array<float, HarmonicLevels::harmonics> levels;
    levels.fill(-100.0F);
    if (behind > 0) levels = harmonics.levels_db(*frame, behind);
    std::ranges::copy(levels, measures[i].begin() + MelBands::bands);
  }
}

float strongest_at(const Evidence& evidence, std::size_t frame) {
  float strongest = 0;
  for (const auto& candidate : evidence.at(frame)) strongest = std::max(strongest, candidate.strength);
  return strongest;
}

void finish_measures(const Evidence& evidence, std::vector<FrameMeasures>& measures) {
  constexpr std::size_t levels = MelBands::bands + HarmonicLevels::harmonics;
  const auto against_top = [&](float db) {
    return std::clamp(db - static_cast<float>(evidence.top_db), -50.0F, 10.0F);
  };
  for (std::size_t i = 0; i < measures.size(); ++i) {
    auto& here = measures[i];
    for (std::size_t m = 0; m < levels; ++m) here[m] = against_top(here[m]);
    here[levels] = against_top(evidence.level_db[i]);
    here[levels + 1] = evidence.voiced(i) ? 1.0F : 0.0F;
    here[levels + 2] = evidence.clarity[i];
    here[levels + 3] = strongest_at(evidence, i);
  }
}

}  // namespace

std::vector<FrameMeasures> gather_pitch_evidence(const Samples& samples, const PitchRange& range, Evidence& evidence) {
  evidence = {};
  evidence.lowest_hz = range.lowest_hz;
  evidence.highest_hz = range.highest_hz;
  std::vector<FrameMeasures> measures;
  measure_frames(samples, range, evidence, measures);
  evidence.floor_db = percentile(evidence.level_db, 0.05);
  evidence.top_db = percentile(evidence.level_db, 0.95);
  draw_pitch_line(evidence);
  measure_harmonics(samples, evidence, measures);
  finish_measures(evidence, measures);
  return measures;
}

Evidence gather_evidence(const Samples& samples, const PitchRange& range, const OnsetNet& net) {
  Evidence evidence;
  const std::vector<FrameMeasures> measures = gather_pitch_evidence(samples, range, evidence);
  const NetInputs inputs(measures, evidence.line_hz);
  std::array<float, net_inputs> row{};
  evidence.onset_logit.reserve(evidence.frames());
  evidence.offset_logit.reserve(evidence.frames());
  for (std::size_t i = 0; i < evidence.frames(); ++i) {
    inputs.fill(i, row);
    const auto [onset, offset] = net(row);
    evidence.onset_logit.push_back(onset);
    evidence.offset_logit.push_back(offset);
  }
  return evidence;
}

PitchRange look_for_range(const Samples& samples) {
  constexpr int look_hop_samples = 640;  // 40 ms: a sparse look finds every note
  constexpr float sure_strength = 0.8F, nearly_equal = 0.1F;
  constexpr double octave_and_a_bit = 2.3;
  const PitchRange everything;
  PitchCandidates candidates(everything);
  FilteredFrames frames(samples, everything.lowest_hz, candidates.frame_samples(), look_hop_samples);
  std::vector<float> pitches;
  std::vector<PitchCandidate> found;
  while (const auto frame = frames.next()) {
    found.clear();
    candidates.find(*frame, found);
    if (found.empty()) continue;
    const float strongest = std::ranges::max_element(found, {}, &PitchCandidate::strength)->strength;
    if (strongest < sure_strength) continue;
    // The highest among the nearly equal: a period's multiples are as strong as the period.
    float hz = 0;
    for (const auto& candidate : found)
      if (candidate.strength > strongest - nearly_equal) hz = std::max(hz, candidate.f0_hz);
    pitches.push_back(hz);
  }
  if (pitches.empty()) return everything;
  return {std::max(everything.lowest_hz, percentile(pitches, 0.05) / octave_and_a_bit),
          std::min(everything.highest_hz, percentile(pitches, 0.95) * octave_and_a_bit)};
}

}  // namespace firmus
