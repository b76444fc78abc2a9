// Pitch against aubio (Debian's libaubio), an independent implementation, on the same samples.
#include <doctest/doctest.h>

#include <cmath>
#include <functional>

#include "against_truth.hpp"
#include "base/frames.hpp"

#ifdef FIRMUS_HAS_AUBIO
#include <aubio/aubio.h>
#endif

using namespace firmus;
using namespace firmus::reference;

#ifdef FIRMUS_HAS_AUBIO
namespace {

constexpr unsigned hop_samples = frame_hop_samples(singer::rate_hz);
constexpr unsigned window_samples = 1024;  // 64 ms

struct AubioFrame {
  double hz = 0, confidence = 0;
};

// Half a window of silence is put before the samples, since aubio's window ends with the latest hop: so frame i is
// centred at the same time as frame i of firmus.
std::vector<AubioFrame> aubio_pitch(const std::vector<float>& samples) {
  std::vector<float> led(window_samples / 2 - hop_samples, 0.0F);
  led.insert(led.end(), samples.begin(), samples.end());
  aubio_pitch_t* tracker = new_aubio_pitch("yinfast", window_samples, hop_samples, singer::rate_hz);
  REQUIRE(tracker != nullptr);
  fvec_t* in = new_fvec(hop_samples);
  fvec_t* out = new_fvec(1);
  std::vector<AubioFrame> frames;
  for (std::size_t at = 0; at + hop_samples <= led.size(); at += hop_samples) {
    for (unsigned i = 0; i < hop_samples; ++i) fvec_set_sample(in, led[at + i], i);
    aubio_pitch_do(tracker, in, out);
    frames.push_back({fvec_get_sample(out, 0), aubio_pitch_get_confidence(tracker)});
  }
  del_fvec(in);
  del_fvec(out);
  del_aubio_pitch(tracker);
  return frames;
}

struct Compared {
  std::size_t both = 0, ours_alone = 0, octave_apart = 0;
  std::vector<double> cents;
};

Compared compare_inside_notes(const F0Track& ours, const std::vector<AubioFrame>& theirs,
                              const std::vector<singer::SungNote>& notes) {
  Compared compared;
  for (const singer::SungNote& note : notes) {
    const double from_s = note.onset_s + 0.25 * (note.end_s - note.onset_s),
                 to_s = note.onset_s + 0.85 * (note.end_s - note.onset_s);
    for (std::size_t f = frame_at(from_s); f < frame_at(to_s) && f < theirs.size(); ++f) {
      if (ours.f0_hz.at(f) <= 0) continue;
      if (theirs[f].hz <= 0 || theirs[f].confidence < 0.9) {
        ++compared.ours_alone;
        continue;
      }
      ++compared.both;
      const double cents = cents_between(Hertz(theirs[f].hz), Hertz(static_cast<double>(ours.f0_hz[f])));
      if (std::abs(cents) > 600) ++compared.octave_apart;
      compared.cents.push_back(cents);
    }
  }
  return compared;
}

// Mean of log f0 over the middle of each note, the same part as in the truth, minus the truth.
std::vector<double> cents_off_truth(const std::vector<singer::SungNote>& notes,
                                    const std::function<double(std::size_t)>& hz_at) {
  std::vector<double> off;
  for (const singer::SungNote& note : notes) {
    const double length_s = note.end_s - note.onset_s;
    double sum = 0;
    int count = 0;
    for (std::size_t f = frame_at(note.onset_s + 0.25 * length_s); f < frame_at(note.onset_s + 0.85 * length_s); ++f) {
      if (hz_at(f) <= 0) continue;
      sum += cents_between(Hertz(note.sung_hz), Hertz(hz_at(f)));
      ++count;
    }
    if (count > 0) off.push_back(sum / count);
  }
  return off;
}

}  // namespace

TEST_CASE("frame by frame the pitch track agrees with aubio on the same samples") {
  for (const std::string name : {"harbour", "mill", "kite"}) {
    CAPTURE(name);
    const Melody melody = studio_melody(name);
    singer::Plan plan;
    plan.seed = 401;
    plan.voice.vibrato_extent_cents = 0;  // windows of different lengths average different parts of a vibrato
    const singer::Performance performance = singer::sing(melody, plan);
    const F0Track ours = track_pitch(recording_from_samples("simulated", performance.samples, 1, singer::rate_hz));
    const std::vector<AubioFrame> theirs = aubio_pitch(performance.samples);
    const Compared compared = compare_inside_notes(ours, theirs, performance.notes);
    CHECK(compared.both > 1500);
    CHECK(compared.octave_apart * 200 < compared.both);
    // aubio's share of the difference: its means over a note are 0.7 to 1.1 cents (median) and up to 2.9 (95 %) from
    // the truth here.
    CHECK(quantile_of_size(compared.cents, 0.5) < 3);
    CHECK(quantile_of_size(compared.cents, 0.95) < 10);
    CHECK(quantile_of_size(
              cents_off_truth(performance.notes, [&](std::size_t f) { return static_cast<double>(ours.f0_hz.at(f)); }),
              0.5) <
          quantile_of_size(cents_off_truth(performance.notes, [&](std::size_t f) { return theirs.at(f).hz; }), 0.5));
  }
}

TEST_CASE("each note's pitch agrees with the median of aubio's over the same stretch") {
  const Melody melody = studio_melody("kite");
  singer::Plan plan;
  plan.seed = 402;
  const singer::Performance performance = singer::sing(melody, plan);
  const Result result = measure_samples(performance.samples, melody);
  const std::vector<AubioFrame> theirs = aubio_pitch(performance.samples);
  std::vector<double> apart;
  for (const NoteResult& note : result.notes) {
    if (note.status != NoteStatus::sung || !note.sung_hz) continue;
    std::vector<double> hz;
    const double length_s = *note.end_s - *note.onset_s;
    for (std::size_t f = frame_at(*note.onset_s + 0.25 * length_s); f < frame_at(*note.onset_s + 0.85 * length_s);
         ++f) {
      if (theirs.at(f).hz > 0) hz.push_back(theirs[f].hz);
    }
    apart.push_back(cents_between(Hertz(quantile_of_size(hz, 0.5)), Hertz(*note.sung_hz)));
  }
  CHECK(apart.size() == melody.notes.size());
  CHECK(quantile_of_size(apart, 0.5) < 2);
  CHECK(quantile_of_size(apart, 1.0) < 12);
}
#else
TEST_CASE("frame by frame the pitch track agrees with aubio on the same samples") {
  MESSAGE("not run: pitch against aubio: the library was not there when this was configured (libaubio-dev)");
}
#endif
