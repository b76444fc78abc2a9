#include "octave_errors.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "base/frames.hpp"
#include "timed_notes.hpp"
#include "upper_median.hpp"

namespace firmus::decode {
namespace {

constexpr double far_semitones = 4.0;
constexpr double found_in_share = 0.6;  // of the note's voiced frames

// How much the mean NSDF peak of the shorter of two periods may be below that of the longer one, a multiple of it. In
// 1900 notes of annotated takes half of the period is lower by 0.13 or more; in 153 such notes moved up an octave the
// period that sounds is lower than its double by 0.06 at most. Where the longer one is up to 0.25 above and has no
// first harmonic, the track follows the common period of two sounds.
constexpr double octave_above = 0.09, common_period = 0.25;
// Down by a twelfth, or where the track is weak, as in breathy and clipped voices, it may follow a strong harmonic: the
// candidates below may be lower by this.
constexpr double lower_below = 0.12, weak_track_peak = 0.85;
// A pitch that is really there has a high peak and a first harmonic: 0.98 or more and 0.05 to 0.28 of the power in
// notes of annotated takes that were moved down an octave. Where the track follows a common period the peak is at 0.85
// to 0.9.
constexpr double clear_track_peak = 0.93, first_harmonic_share = 0.03;
constexpr double whole_octave = 0.15;     // of an octave: how far from a whole number of octaves is still one
constexpr double most_octaves_low = 0.2;  // share of notes: with more of them the key is that of the voice
constexpr double harmonic_within_semitones = 1.0;
constexpr std::size_t sampled_frames = 24;  // of a note, for its first harmonic

struct Frames {
  std::size_t begin = 0, end = 0;
};

Frames frames_of(const DecodedNote& note, std::size_t frames) {
  return {frame_at(note.onset_s), std::min(frame_at(note.end_s), frames)};
}

/// The candidate with the highest peak within `semitones` of `hz`.
std::optional<PitchCandidate> candidate_near(const Evidence& evidence, std::size_t frame, double hz, double semitones) {
  std::optional<PitchCandidate> best;
  for (const auto& candidate : evidence.at(frame)) {
    const double away = std::abs(12 * std::log2(candidate.f0_hz / hz));
    if (away < semitones && (!best || candidate.nsdf_peak > best->nsdf_peak)) best = candidate;
  }
  return best;
}

/// A note's f0 on other candidates than those of the track, and how these compare.
struct OtherPitch {
  std::vector<float> f0_hz;  ///< of the note's frames
  double track_peak = 0;     ///< mean NSDF peaks in the frames that have both
  double higher = 0;         ///< mean NSDF peak of the candidates less that of the track
  double octaves_up = 0;     ///< from the track, median
};

/// On the candidates near `wanted_hz(f0 of the track)`; none where most frames of the note have none.
template <typename Wanted>
std::optional<OtherPitch> other_pitch(const Observations& observed, Frames in, Wanted wanted_hz, double semitones) {
  OtherPitch other;
  int voiced = 0, found = 0;
  std::vector<double> octaves_up;
  for (std::size_t i = in.begin; i < in.end; ++i) {
    other.f0_hz.push_back(0);
    if (!observed.f0_track.voiced(i)) continue;
    ++voiced;
    const float track_hz = observed.f0_track.f0_hz[i];
    const auto candidate = candidate_near(observed.evidence, i, wanted_hz(track_hz), semitones);
    if (!candidate) continue;
    ++found;
    other.f0_hz.back() = candidate->f0_hz;
    other.track_peak += observed.f0_track.nsdf_peak[i];
    other.higher += candidate->nsdf_peak - observed.f0_track.nsdf_peak[i];
    octaves_up.push_back(std::log2(candidate->f0_hz / track_hz));
  }
  if (found == 0 || found < found_in_share * voiced) return std::nullopt;
  for (double* mean : {&other.track_peak, &other.higher}) *mean /= found;
  other.octaves_up = upper_median(std::move(octaves_up));
  return other;
}

/// Whether the track's pitch is really there: its first harmonic holds a share of the sound's power.
bool has_first_harmonic(const Observations& observed, Frames in) {
  if (!observed.samples) return false;
  double sum = 0;
  int count = 0;
  const std::size_t step = std::max<std::size_t>(1, (in.end - in.begin) / sampled_frames);
  for (std::size_t i = in.begin; i < in.end; i += step) {
    if (!observed.f0_track.voiced(i)) continue;
    sum += share_of_sinusoid(*observed.samples, i, static_cast<double>(observed.f0_track.f0_hz[i]));
    ++count;
  }
  return count > 0 && sum > first_harmonic_share * count;
}

enum class Octave {
  as_tracked,
  moves,
  moves_unless_sung  ///< the pitch below sounds too: sung an octave low, or an accompaniment
};

/// Whether a note that is far from its pitch in the key moves there.
Octave towards_key(const Observations& observed, Frames in, const OtherPitch& at_key) {
  if (at_key.octaves_up > 0) {
    if (observed.in_large_room || at_key.higher >= -octave_above) return Octave::moves;
    if (at_key.higher < -common_period) return Octave::as_tracked;
    const bool sounds = at_key.track_peak >= clear_track_peak && has_first_harmonic(observed, in);
    return sounds ? Octave::moves_unless_sung : Octave::moves;
  }
  if (observed.in_large_room) return at_key.higher >= -common_period ? Octave::moves : Octave::as_tracked;
  const double octaves = std::round(at_key.octaves_up);
  const bool by_octaves = octaves != 0 && std::abs(at_key.octaves_up - octaves) < whole_octave;
  if (!by_octaves || at_key.track_peak < weak_track_peak)
    return at_key.higher >= -lower_below ? Octave::moves : Octave::as_tracked;
  return at_key.higher >= octave_above ? Octave::moves : Octave::as_tracked;
}

/// Whether one pitch is close to a harmonic of the other.
bool is_harmonic_apart(double ratio) {
  const double larger = std::max(ratio, 1 / ratio);
  const double harmonic = std::round(larger);
  return harmonic >= 2 && std::abs(12 * std::log2(larger / harmonic)) < harmonic_within_semitones;
}

}  // namespace

OctaveCorrected correct_octave_errors(const Observations& observed, const Melody& melody,
                                      std::vector<DecodedNote> notes) {
  OctaveCorrected corrected{std::move(notes), observed.f0_track.f0_hz};
  const auto move = [&](DecodedNote& note, const OtherPitch& to) {
    const Frames in = frames_of(note, observed.frames());
    std::ranges::copy(to.f0_hz, corrected.f0_hz.begin() + static_cast<std::ptrdiff_t>(in.begin));
    note.coarse_hz = pitch_of_note(corrected.f0_hz, in.begin, in.end);
  };
  std::vector<std::pair<DecodedNote*, OtherPitch>> low;
  std::size_t written = 0;
  for (auto& note : corrected.notes) {
    if (!note.written || note.coarse_hz <= 0) continue;
    ++written;
    const Frames in = frames_of(note, observed.frames());
    const double key_hz =
        melody.notes[static_cast<std::size_t>(*note.written)].target_hz * std::exp2(note.transposition_semitones / 12);
    if (std::abs(12 * std::log2(note.coarse_hz / key_hz)) < far_semitones) {
      const auto above = other_pitch(
          observed, in, [](float track_hz) { return 2.0 * track_hz; }, 1.0);
      const bool strong = above && above->track_peak >= weak_track_peak && above->higher >= -octave_above;
      if (strong && !has_first_harmonic(observed, in)) move(note, *above);
      continue;
    }
    const auto at_key = other_pitch(
        observed, in, [&](float) { return key_hz; }, far_semitones);
    const Octave octave = at_key ? towards_key(observed, in, *at_key) : Octave::as_tracked;
    note.octave_unsure =
        octave == Octave::as_tracked && observed.in_large_room && is_harmonic_apart(note.coarse_hz / key_hz);
    if (octave == Octave::moves) move(note, *at_key);
    if (octave == Octave::moves_unless_sung) low.emplace_back(&note, *at_key);
  }
  if (static_cast<double>(low.size()) > most_octaves_low * static_cast<double>(written))
    for (const auto& [note, at_key] : low) move(*note, at_key);
  return corrected;
}

}  // namespace firmus::decode
