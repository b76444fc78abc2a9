// firmus_bench_peer WHAT FILE: runs one general-purpose analysis over a file and nothing else, so that the time of the
// process measures its speed. WHAT: pitch:METHOD[:WINDOW], onsets, notes (libaubio); decode, fft (floors:
// reading the file alone, and with it one real FFT of 2048 points every 220 samples).
#include <fftw3.h>
#include <fmt/format.h>

#include <cstdio>
#include <cstring>
#include <exception>
#include <string>

#include "aubio_handles.hpp"
#include "sound.hpp"

using namespace firmus::bench;

namespace {

constexpr unsigned hop_samples = 220, usual_window_samples = 2048, onset_window_samples = 1024;
constexpr int fft_samples = 2048;

/// Sums of the results, so that the compiler cannot remove any work.
double pitch(const Sound& sound, const std::string& method_and_window) {
  const std::size_t colon = method_and_window.find(':');
  const std::string method = method_and_window.substr(0, colon);
  const auto window_samples = colon == std::string::npos
                                  ? usual_window_samples
                                  : static_cast<unsigned>(std::stoul(method_and_window.substr(colon + 1)));
  const AubioPitch tracker(new_aubio_pitch(method.c_str(), window_samples, hop_samples, sound.rate_hz));
  const AubioVector out(new_fvec(1));
  double sum = 0;
  for_each_hop(sound.samples, hop_samples, [&](const fvec_t* hop) {
    aubio_pitch_do(tracker.get(), hop, out.get());
    sum += fvec_get_sample(out.get(), 0);
  });
  return sum;
}

double onsets(const Sound& sound) {
  const AubioOnset tracker(new_aubio_onset("default", onset_window_samples, hop_samples, sound.rate_hz));
  const AubioVector out(new_fvec(1));
  double sum = 0;
  for_each_hop(sound.samples, hop_samples, [&](const fvec_t* hop) {
    aubio_onset_do(tracker.get(), hop, out.get());
    sum += fvec_get_sample(out.get(), 0);
  });
  return sum;
}

double notes(const Sound& sound) {
  const AubioNotes tracker(new_aubio_notes("default", usual_window_samples, hop_samples, sound.rate_hz));
  const AubioVector out(new_fvec(3));
  double sum = 0;
  for_each_hop(sound.samples, hop_samples, [&](const fvec_t* hop) {
    aubio_notes_do(tracker.get(), hop, out.get());
    sum += fvec_get_sample(out.get(), 0);
  });
  return sum;
}

double ffts(const Sound& sound) {
  float* time = fftwf_alloc_real(fft_samples);
  fftwf_complex* bins = fftwf_alloc_complex(fft_samples / 2 + 1);
  const fftwf_plan plan = fftwf_plan_dft_r2c_1d(fft_samples, time, bins, FFTW_ESTIMATE);
  double sum = 0;
  for (std::size_t at = 0; at + fft_samples <= sound.samples.size(); at += hop_samples) {
    std::memcpy(time, &sound.samples[at], fft_samples * sizeof(float));
    fftwf_execute(plan);
    sum += static_cast<double>(bins[1][0]);
  }
  fftwf_destroy_plan(plan);
  fftwf_free(time);
  fftwf_free(bins);
  return sum;
}

double run(const std::string& what, const Sound& sound) {
  if (what.starts_with("pitch:")) return pitch(sound, what.substr(6));
  if (what == "onsets") return onsets(sound);
  if (what == "notes") return notes(sound);
  if (what == "fft") return ffts(sound);
  return static_cast<double>(sound.samples.back());  // decode
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) return std::fputs("usage: firmus_bench_peer WHAT FILE\n", stderr), 2;
  try {
    fmt::print("{}\n", run(argv[1], read_sound(argv[2])));
  } catch (const std::exception& error) {
    return fmt::print(stderr, "{}\n", error.what()), 1;
  }
}
