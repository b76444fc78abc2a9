#include "pair_fft.hpp"

#include <fftw3.h>

#include <algorithm>
#include <map>
#include <mutex>

#include "base/simd.hpp"
#include "room/fft_planner.hpp"

namespace firmus::evidence {

void PairFft::Free::operator()(void* memory) const {
  fftwf_free(memory);
}

struct PairFft::Plan {
  fftwf_plan forward = nullptr;
  Plan() = default;
  Plan(const Plan&) = delete;
  Plan& operator=(const Plan&) = delete;
  ~Plan() { fftwf_destroy_plan(forward); }
};

namespace {

fftwf_complex* as_fftw(std::complex<float>* values) {
  return reinterpret_cast<fftwf_complex*>(values);
}

/// Eight complex values as real and imaginary parts.
FIRMUS_INLINE void load_complex(const float* from, float8& re, float8& im) {
  float8 a, b;
  load(from, a);
  load(from + lanes, b);
  re = __builtin_shufflevector(a, b, 0, 2, 4, 6, 8, 10, 12, 14);
  im = __builtin_shufflevector(a, b, 1, 3, 5, 7, 9, 11, 13, 15);
}

FIRMUS_INLINE void store_complex(const float8& re, const float8& im, float* to) {
  const float8 a = __builtin_shufflevector(re, im, 0, 8, 1, 9, 2, 10, 3, 11);
  const float8 b = __builtin_shufflevector(re, im, 4, 12, 5, 13, 6, 14, 7, 15);
  store(a, to);
  store(b, to + lanes);
}

FIRMUS_INLINE void reverse(float8& values) {
  values = __builtin_shufflevector(values, values, 7, 6, 5, 4, 3, 2, 1, 0);
}

/// Powers of both signals in bins k to k + 7: the spectrum of the first is the conjugate-even part of the transform,
/// that of the second its conjugate-odd part.
FIRMUS_INLINE void powers_from(const float* bins, int size, int k, float8& first, float8& second) {
  float8 re, im, mirrored_re, mirrored_im;
  load_complex(bins + 2 * k, re, im);
  load_complex(bins + 2 * (size - k - lanes + 1), mirrored_re, mirrored_im);
  reverse(mirrored_re);
  reverse(mirrored_im);
  const float8 even_re = re + mirrored_re, even_im = im - mirrored_im;
  const float8 odd_re = im + mirrored_im, odd_im = re - mirrored_re;
  first = 0.25F * (even_re * even_re + even_im * even_im);
  second = 0.25F * (odd_re * odd_re + odd_im * odd_im);
}

FIRMUS_MULTIVERSION void all_powers(const float* bins, int size, float* first, float* second) {
  for (int k = 1; k < size / 2; k += lanes) {
    float8 a, b;
    powers_from(bins, size, k, a, b);
    store(a, first + k - 1);
    store(b, second + k - 1);
  }
}

/// Bins to powers, in place: those of the first signal as real parts, those of the second as imaginary parts, at each
/// bin and its mirror image.
FIRMUS_MULTIVERSION void to_powers(float* bins, int size) {
  bins[0] *= bins[0];
  bins[1] *= bins[1];
  for (int k = 1; k < size / 2; k += lanes) {
    float8 a, b;
    powers_from(bins, size, k, a, b);
    store_complex(a, b, bins + 2 * k);
    reverse(a);
    reverse(b);
    store_complex(a, b, bins + 2 * (size - k - lanes + 1));
  }
}

FIRMUS_MULTIVERSION void interleave(const float* first, const float* second, const float* window, int count,
                                    float* out) {
  int i = 0;
  for (; i + lanes <= count; i += lanes) {
    float8 a, b, weight = float8{} + 1.0F;
    load(first + i, a);
    load(second + i, b);
    if (window) load(window + i, weight);
    a *= weight;
    b *= weight;
    store_complex(a, b, out + 2 * i);
  }
  for (; i < count; ++i) {
    const float weight = window ? window[i] : 1.0F;
    out[2 * i] = first[i] * weight;
    out[2 * i + 1] = second[i] * weight;
  }
}

float* as_floats(std::complex<float>* values) {
  return reinterpret_cast<float*>(values);
}

}  // namespace

PairFft::Buffer PairFft::make_buffer(int size) {
  return Buffer(
      static_cast<std::complex<float>*>(fftwf_malloc(sizeof(fftwf_complex) * static_cast<std::size_t>(size))));
}

const PairFft::Plan& PairFft::plan_for(int size) {
  static std::map<int, Plan> plans;  // kept to the end of the process: a handful of sizes
  const std::lock_guard<std::mutex> lock(room::fft_planner());
  auto [at, is_new] = plans.try_emplace(size);
  if (is_new) {
    const Buffer from = make_buffer(size), to = make_buffer(size);
    at->second.forward = fftwf_plan_dft_1d(size, as_fftw(from.get()), as_fftw(to.get()), FFTW_FORWARD, FFTW_ESTIMATE);
  }
  return at->second;
}

PairFft::PairFft(int size) : size_(size), time_(make_buffer(size)), bins_(make_buffer(size)), plan_(plan_for(size)) {}

void PairFft::transform(const Buffer& from, const Buffer& to) {
  fftwf_execute_dft(plan_.forward, as_fftw(from.get()), as_fftw(to.get()));
}

void PairFft::set(std::span<const float> first, std::span<const float> second, const float* window) {
  const std::size_t count = first.size();
  interleave(first.data(), second.data(), window, static_cast<int>(count), as_floats(time_.get()));
  std::fill(time_.get() + count, time_.get() + size_, std::complex<float>{});
}

void PairFft::powers(std::span<float> first, std::span<float> second) {
  transform(time_, bins_);
  all_powers(as_floats(bins_.get()), size_, first.data(), second.data());
}

std::span<const std::complex<float>> PairFft::autocorrelations() {
  transform(time_, bins_);
  to_powers(as_floats(bins_.get()), size_);
  transform(bins_, time_);  // forward is backward here: powers are even
  return {time_.get(), static_cast<std::size_t>(size_)};
}

int PairFft::good_size(int least) {
  int size = 16;
  while (size < least) size *= 2;
  const int five_eighths = size / 8 * 5;
  return size >= 64 && five_eighths >= least ? five_eighths : size;
}

}  // namespace firmus::evidence
